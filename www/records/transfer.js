// @ts-check
/** Everything kept, as one file, and back without loss. */
import { core } from '../app/core.js';
import { saveAs } from '../app/save-as.js';
import { Trouble } from '../app/trouble.js';
import { textOf } from '../input/read-file.js';
import { gzip } from './gzip.js';
import { cards, has, keep, keypoints } from './store.js';

const KIND = 'underfoot-kept-sets';
const VERSION = 1;

export async function exportAll() {
  const sets = [];
  for (const card of await cards()) sets.push({ ...card, recording: await keypoints(card.id) });
  if (!sets.length) throw new Trouble('There is nothing to export yet: measure a set first.');
  const packed = await gzip(JSON.stringify({ kind: KIND, version: VERSION, sets }));
  saveAs(`underfoot-sets-${new Date().toISOString().slice(0, 10)}.json.gz`, packed, 'application/gzip');
}

/**
 * Sets that are here already stay as they are; a set that can't be measured is left out and counted.
 * @param {File} file
 * @returns {Promise<{ added: number, known: number, bad: number }>}
 */
export async function importAll(file) {
  const { analyze, version } = await core();
  const all = parse(await textOf(file));
  const counts = { added: 0, known: 0, bad: 0 };
  for (const raw of all.sets) {
    /** @type {any} */
    let report;
    try {
      report = analyze(raw.recording);
    } catch {
      counts.bad += 1;
      continue;
    }
    const id = text(raw.id, 64) || crypto.randomUUID();
    if (await has(id)) {
      counts.known += 1;
      continue;
    }
    const made = Number.isNaN(Date.parse(raw.made)) ? new Date().toISOString() : new Date(raw.made).toISOString();
    const note = text(raw.note, 2000);
    await keep({ id, made, name: text(raw.name, 80), ...(note ? { note } : {}), source: text(raw.source, 120) || 'an import', recording: raw.recording, report, made_with: version });
    counts.added += 1;
  }
  return counts;
}

/** @param {string} json @returns {{ sets: any[] }} */
function parse(json) {
  /** @type {any} */
  let all = null;
  try {
    all = JSON.parse(json);
  } catch {
    // Falls through to the sentence below.
  }
  if (all?.kind !== KIND || !Array.isArray(all.sets)) throw new Trouble('This is not an export of kept sets: choose a file that “Export all” made.');
  if (!(all.version <= VERSION)) throw new Trouble('This export was made by a newer version of this page: load the page again and import it then.');
  return all;
}

/** @param {unknown} value @param {number} most */
function text(value, most) {
  return typeof value === 'string' ? value.slice(0, most) : '';
}
