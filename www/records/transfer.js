// @ts-check
/** Everything kept, as one zip file (numbers as JSON, films as they are), and back without loss. */
import { core } from '../app/core.js';
import { analyze } from '../app/measurer.js';
import { saveAs } from '../app/save-as.js';
import { Trouble } from '../app/trouble.js';
import { textOf } from '../input/read-file.js';
import { feetFrom } from './film-feet.js';
import { cards, filmOf, has, keep, keypoints } from './store.js';

const KIND = 'underfoot-kept-sets';
/** 1: one gzipped JSON without films. 2: a zip file of `sets.json` and the films that it names. */
const VERSION = 2;
const LIST = 'sets.json';
/** The first bytes of a zip file, `PK` (APPNOTE.TXT 4.3.7). */
const ZIP = [0x50, 0x4b];

/** @typedef {import('../app/types.js').Film} Film */

/** The zip library, without workers of its own: they would need a looser policy. */
async function zip() {
  const library = await import('../vendor/zip/zip.js');
  library.configure({ useWebWorkers: false });
  return library;
}

export async function exportAll() {
  const { BlobReader, BlobWriter, TextReader, ZipWriter } = await zip();
  const writer = new ZipWriter(new BlobWriter('application/zip'));
  const sets = [];
  for (const card of await cards()) {
    const film = card.film_bytes === undefined ? undefined : await filmOf(card.id);
    const { film_bytes: _, ...rest } = card;
    const recording = await keypoints(card.id);
    if (!film) {
      sets.push({ ...rest, recording });
      continue;
    }
    const name = `films/${card.id}.${film.file.type.includes('webm') ? 'webm' : 'mp4'}`;
    // Pictures are compressed already.
    await writer.add(name, new BlobReader(film.file), { level: 0 });
    sets.push({ ...rest, recording, film: { name, type: film.file.type, from_ms: film.from_ms, feet: film.feet ?? [] } });
  }
  if (!sets.length) throw new Trouble('There is nothing to export yet: measure a set first.');
  await writer.add(LIST, new TextReader(JSON.stringify({ kind: KIND, version: VERSION, sets })));
  saveAs(`underfoot-sets-${new Date().toISOString().slice(0, 10)}.zip`, await writer.close(), 'application/zip');
}

/**
 * Sets that are here already stay as they are; a set that can't be measured is left out and counted.
 * @param {File} file
 * @returns {Promise<{ added: number, known: number, bad: number, filmless: number }>} filmless: added, but its film could not be read
 */
export async function importAll(file) {
  const { version } = await core();
  const { sets, filmNamed } = await unpack(file);
  const counts = { added: 0, known: 0, bad: 0, filmless: 0 };
  for (const raw of sets) {
    const id = text(raw?.id, 64) || crypto.randomUUID();
    if (await has(id)) {
      counts.known += 1;
      continue;
    }
    /** @type {any} */
    let report;
    try {
      report = await analyze(raw.recording, { hurts: raw.hurts === true });
    } catch {
      counts.bad += 1;
      continue;
    }
    const film = raw.film ? await filmNamed(raw.film, raw.recording.frames.length).catch(() => null) : undefined;
    if (film === null) counts.filmless += 1;
    const made = Number.isNaN(Date.parse(raw.made)) ? new Date().toISOString() : new Date(raw.made).toISOString();
    const note = text(raw.note, 2000);
    await keep({ id, made, name: text(raw.name, 80), ...(note ? { note } : {}), ...(raw.hurts === true ? { hurts: true } : {}), source: text(raw.source, 120) || 'an import', recording: raw.recording, report, made_with: version }, film ?? undefined);
    counts.added += 1;
  }
  return counts;
}

/**
 * @param {File} file in the present form or an older one
 * @returns {Promise<{ sets: any[], filmNamed: (film: any, frames: number) => Promise<Film | null> }>}
 */
async function unpack(file) {
  const head = new Uint8Array(await file.slice(0, 2).arrayBuffer());
  if (head[0] !== ZIP[0] || head[1] !== ZIP[1]) return { sets: parse(await textOf(file)), filmNamed: async () => null };
  const { BlobReader, BlobWriter, ZipReader } = await zip();
  const reader = new ZipReader(new BlobReader(file));
  const entries = new Map();
  try {
    for (const entry of await reader.getEntries()) if (!entry.directory) entries.set(entry.filename, entry);
  } catch (cause) {
    throw new Trouble('This export is damaged or cut short: copy it again from where it came.', { cause });
  }
  const list = entries.get(LIST);
  if (!list) throw notOurs();
  const content = await list.getData(new BlobWriter()).catch((/** @type {unknown} */ cause) => { throw new Trouble('This export is damaged: copy it again from where it came.', { cause }); });
  return {
    sets: parse(await textOf(content)),
    async filmNamed({ name, type, from_ms, feet }, frames) {
      const entry = entries.get(name);
      if (!entry) return null;
      const blob = await entry.getData(new BlobWriter(/^video\/[\w.+-]+/.test(type) ? type : 'video/mp4'), { checkSignature: true });
      return { file: blob, from_ms: Number.isFinite(from_ms) ? from_ms : 0, feet: feetFrom(feet, frames) };
    },
  };
}

function notOurs() {
  return new Trouble('This is not an export of kept sets: choose a file that “Export all” made.');
}

/** @param {string} json @returns {any[]} */
function parse(json) {
  /** @type {any} */
  let all = null;
  try {
    all = JSON.parse(json);
  } catch {
    // Falls through to the sentence below.
  }
  if (all?.kind !== KIND || !Array.isArray(all.sets)) throw notOurs();
  if (!(all.version <= VERSION)) throw new Trouble('This export was made by a newer version of this page: load the page again and import it then.');
  return all.sets;
}

/** @param {unknown} value @param {number} most */
function text(value, most) {
  return typeof value === 'string' ? value.slice(0, most) : '';
}
