// @ts-check
/** The whole desk as one file, and back: a zip file with every result as it came, and a list of what the coach added. */
import { saveAs } from '../app/save-as.js';
import { Trouble, sentence } from '../app/trouble.js';
import { isZip, zipReader, zipWriter } from '../app/zip-file.js';
import { textOf } from '../input/read-file.js';
import { MAX_FILE_BYTES, open } from '../share/envelope.js';
import { ShareError } from '../share/errors.js';
import { list, record } from '../share/fields.js';
import { MAX_TEXT_BYTES, fromText } from '../share/result-text.js';
import { cleanText } from '../share/text.js';
import { NO_NAME, OWN_MAX, cards, fileOf, keep, receive } from './desk-store.js';

const KIND = 'underfoot-desk';
/** 1: one envelope with every file inside. 2: a zip file of `desk.json` and the files, each read by itself. */
const VERSION = 2;
const LIST = 'desk.json';
/** A list of a hundred thousand results is no larger. */
const MAX_LIST = 100e6;
/** Version 1 was read whole, and therefore bounded as a whole. */
const OLD = { kind: 'desk', version: 1, most: 64 * 1024 * 1024 };

export const DESK_SUFFIX = '.underfoot-desk';

/** What the coach added to a result. @typedef {{ client: string, cue: string, note: string, taken: number }} Words */

export async function exportDesk() {
  const zip = await zipWriter('application/octet-stream');
  const results = [];
  for (const { id, client, cue, note, taken } of await cards()) {
    const name = `results/${id}.underfoot`;
    await zip.asIs(name, new Blob([/** @type {BlobPart} */ (await fileOf(id))]));
    results.push({ name, client, cue, note, taken });
  }
  await zip.text(LIST, JSON.stringify({ kind: KIND, version: VERSION, results }));
  saveAs(`coach-desk-${new Date().toISOString().slice(0, 10)}${DESK_SUFFIX}`, await zip.done(), 'application/octet-stream');
}

/** @typedef {{ added: number, known: number, bad: string[], doubts: string[] }} Counts known: were here already; bad: why others were left out; doubts: whose they are */

/**
 * Takes in one file, a client's result or a whole desk, told apart by what is in it.
 * @param {File} file
 * @param {(done: number, all: number) => void} [progress] of a desk
 * @returns {Promise<Counts>}
 */
export async function takeFile(file, progress = () => {}) {
  if (await isZip(file)) return importDesk(file, progress);
  if (file.size > OLD.most) throw new ShareError('too-large');
  const whole = new Uint8Array(await file.arrayBuffer());
  const bytes = inText(whole) ?? whole;
  try {
    const { known, doubt } = await receive(bytes);
    return { added: known ? 0 : 1, known: known ? 1 : 0, bad: [], doubts: doubt ? [doubt] : [] };
  } catch (error) {
    const old = error instanceof ShareError && error.code !== 'damaged' ? oldDesk(bytes) : null;
    if (!old) throw error;
    return takeAll(old.map((item) => async () => item), progress);
  }
}

/** The file inside a text, where there is one. @param {Uint8Array} bytes */
function inText(bytes) {
  // Gzip's head is no text.
  if (bytes[0] === 0x1f || bytes.length > MAX_TEXT_BYTES) return null;
  return fromText(new TextDecoder().decode(bytes));
}

/** @param {File} file @param {(done: number, all: number) => void} progress */
async function importDesk(file, progress) {
  const zip = await zipReader(file);
  if (!zip.has(LIST)) throw notOurs();
  /** @type {any} */
  let all;
  try {
    all = JSON.parse(await textOf(await zip.part(LIST, { most: MAX_LIST })));
  } catch (cause) {
    throw cause instanceof SyntaxError ? notOurs() : cause;
  }
  if (all?.kind !== KIND || !Array.isArray(all.results)) throw notOurs();
  if (!(all.version <= VERSION)) throw new ShareError('newer');
  return takeAll(all.results.map((/** @type {any} */ item) => async () => ({
    ...item, file: new Uint8Array(await (await zip.part(String(item?.name), { most: MAX_FILE_BYTES })).arrayBuffer()),
  })), progress);
}

function notOurs() {
  return new Trouble('This is not a desk: choose a file that “Export all as one file” made, or a client’s result.');
}

/** @param {Uint8Array} bytes @returns {any[] | null} null when it is none */
function oldDesk(bytes) {
  try {
    return list(open(bytes, OLD.kind, OLD.version, { inflated: OLD.most, file: OLD.most }).payload, 10_000, 'desk').map((item) => record(item, 'result'));
  } catch (error) {
    if (/** @type {ShareError} */ (error).code === 'not-ours') return null;
    throw error;
  }
}

/**
 * One at a time; one that can't be read keeps no other out.
 * @param {(() => Promise<any>)[]} items
 * @param {(done: number, all: number) => void} progress
 */
async function takeAll(items, progress) {
  /** @type {Counts} */
  const counts = { added: 0, known: 0, bad: [], doubts: [] };
  for (const [i, item] of items.entries()) {
    progress(i, items.length);
    try {
      const { file, ...words } = await item();
      if (!(file instanceof Uint8Array)) throw new ShareError('damaged', 'no file');
      const { card, known } = await receive(file);
      await keep({ ...card, ...merged(card, words, known) });
      counts[known ? 'known' : 'added'] += 1;
    } catch (error) {
      counts.bad.push(sentence(error));
    }
  }
  return counts;
}

/**
 * Nothing that the coach wrote goes: where both sides have words of their own, those here stay and the others go to the note.
 * @param {Words & { nickname: string }} here
 * @param {Record<string, unknown>} raw as imported
 * @param {boolean} known the result was here already
 * @returns {Partial<Words>}
 */
export function merged(here, raw, known) {
  const there = { client: cleanText(raw.client, OWN_MAX.client), cue: cleanText(raw.cue, OWN_MAX.cue), note: cleanText(raw.note, OWN_MAX.note) };
  if (!known) return { ...there, client: there.client || here.client, ...(Number.isSafeInteger(raw.taken) ? { taken: Number(raw.taken) } : {}) };
  const unnamed = here.client === (here.nickname || NO_NAME);
  const also = [
    there.note && !here.note.includes(there.note) ? there.note : '',
    there.cue && here.cue && there.cue !== here.cue && !here.note.includes(there.cue) ? `Cue on the other desk: ${there.cue}` : '',
  ];
  return {
    client: unnamed && there.client ? there.client : here.client,
    cue: here.cue || there.cue,
    note: [here.note, ...also].filter(Boolean).join(' / '),
  };
}
