// @ts-check
/** Everything kept, as one zip file with a part for each set and each film, and back without loss. */
import { core } from '../app/core.js';
import { analyze } from '../app/measurer.js';
import { saveAs } from '../app/save-as.js';
import { Trouble } from '../app/trouble.js';
import { isZip, zipReader, zipWriter } from '../app/zip-file.js';
import { MAX_BYTES, textOf } from '../input/read-file.js';
import { feetFrom } from './film-feet.js';
import { cards, filmOf, has, keep, keypoints } from './store.js';

const KIND = 'underfoot-kept-sets';
/** 1: one gzipped JSON without films. 2: a zip file of `sets.json` and the films. 3: `sets.json` names a part for each set. */
const VERSION = 3;
const LIST = 'sets.json';
/** A film larger than this was not kept by this page. */
const MAX_FILM = 8e9;

/** @typedef {import('../app/types.js').Film} Film */
/** @typedef {Awaited<ReturnType<typeof zipReader>>} Zip */

export async function exportAll() {
  const all = await cards();
  if (!all.length) throw new Trouble('There is nothing to export yet: film a set first.');
  const zip = await zipWriter();
  /** @type {string[]} */
  const sets = [];
  /** One that is broken must not keep the others in. @type {unknown[]} */
  const broken = [];
  for (const card of all) {
    const recording = await keypoints(card.id).catch((error) => {
      broken.push(error);
    });
    if (!recording) continue;
    const film = card.film_bytes === undefined ? undefined : await filmOf(card.id);
    const { film_bytes: _, setup: __, ...rest } = card;
    const set = { ...rest, recording };
    const name = `sets/${card.id}.json`;
    if (film) {
      const movie = `films/${card.id}.${film.file.type.includes('webm') ? 'webm' : 'mp4'}`;
      await zip.asIs(movie, film.file);
      await zip.text(name, JSON.stringify({ ...set, film: { name: movie, type: film.file.type, from_ms: film.from_ms, feet: film.feet ?? [] } }));
    } else {
      await zip.text(name, JSON.stringify(set));
    }
    sets.push(name);
  }
  await zip.text(LIST, JSON.stringify({ kind: KIND, version: VERSION, sets }));
  saveAs(`underfoot-sets-${new Date().toISOString().slice(0, 10)}.zip`, await zip.done(), 'application/zip');
  if (broken.length)
    throw new Trouble(`${broken.length} of ${all.length} sets could not be read and ${broken.length === 1 ? 'is' : 'are'} not in the file; the others are.`, {
      cause: broken[0],
    });
}

/**
 * Sets that are here already stay as they are; a set that can't be read or measured is left out and counted.
 * @param {File} file
 * @param {(done: number, all: number) => void} [progress] before each set
 * @returns {Promise<{ added: number, known: number, bad: number, filmless: number }>} filmless: added, but its film could not be read
 */
export async function importAll(file, progress = () => {}) {
  const { version } = await core();
  const { sets, filmNamed } = await unpack(file);
  const counts = { added: 0, known: 0, bad: 0, filmless: 0 };
  for (const [i, read] of sets.entries()) {
    progress(i, sets.length);
    /** @type {any} */
    let raw;
    /** @type {any} */
    let report;
    try {
      raw = await read();
      if (await has(text(raw?.id, 64))) {
        counts.known += 1;
        continue;
      }
      report = await analyze(raw.recording, { hurts: raw.hurts === true, ...linesOf(raw) });
    } catch (error) {
      console.error(error);
      counts.bad += 1;
      continue;
    }
    const film = raw.film ? await filmNamed(raw.film, raw.recording.frames.length).catch(() => null) : undefined;
    if (film === null) counts.filmless += 1;
    const made = Number.isNaN(Date.parse(raw.made)) ? new Date().toISOString() : new Date(raw.made).toISOString();
    const note = text(raw.note, 2000);
    const filmed = Number.isNaN(Date.parse(raw.filmed)) ? '' : new Date(raw.filmed).toISOString();
    await keep(
      {
        id: text(raw.id, 64) || crypto.randomUUID(),
        made,
        ...(filmed ? { filmed } : {}),
        name: text(raw.name, 80),
        ...(note ? { note } : {}),
        ...(raw.hurts === true ? { hurts: true } : {}),
        ...linesOf(raw),
        source: text(raw.source, 120) || 'an import',
        recording: raw.recording,
        report,
        made_with: version,
      },
      film ?? undefined,
    );
    counts.added += 1;
  }
  return counts;
}

/**
 * @param {File} file in the present form or an older one
 * @returns {Promise<{ sets: (() => any)[], filmNamed: (film: any, frames: number) => Promise<Film | null> }>} sets: each is read when it is asked for
 */
async function unpack(file) {
  if (!(await isZip(file))) return { sets: listed(await textOf(file), null), filmNamed: async () => null };
  const zip = await zipReader(file);
  if (!zip.has(LIST)) throw notOurs();
  return {
    sets: listed(await textOf(await zip.part(LIST, { most: MAX_BYTES })), zip),
    async filmNamed({ name, type, from_ms, feet }, frames) {
      if (!zip.has(name)) return null;
      const blob = await zip.part(name, { most: MAX_FILM, type: /^video\/[\w.+-]+/.test(type) ? type : 'video/mp4' });
      return { file: blob, from_ms: Number.isFinite(from_ms) ? from_ms : 0, feet: feetFrom(feet, frames) };
    },
  };
}

function notOurs() {
  return new Trouble('This is not an export of saved sets: choose a file made with “Export all”.');
}

/** @param {string} json @param {Zip | null} zip where the sets are that it only names @returns {(() => any)[]} */
function listed(json, zip) {
  /** @type {any} */
  let all = null;
  try {
    all = JSON.parse(json);
  } catch {
    // Falls through to the sentence below.
  }
  if (all?.kind !== KIND || !Array.isArray(all.sets)) throw notOurs();
  if (!(all.version <= VERSION)) throw new Trouble('This export was made by a newer version of this page: load the page again and import it then.');
  return all.sets.map((/** @type {any} */ set) =>
    typeof set === 'string' && zip ? async () => JSON.parse(await textOf(await zip.part(set, { most: MAX_BYTES }))) : () => set,
  );
}

/** Fault lines that were changed for the set; the package checks them. @param {any} raw */
function linesOf({ thresholds }) {
  return thresholds && typeof thresholds === 'object' && Object.keys(thresholds).length ? { thresholds } : {};
}

/** @param {unknown} value @param {number} most */
function text(value, most) {
  return typeof value === 'string' ? value.slice(0, most) : '';
}
