// @ts-check
/** Results that clients sent, kept on the coach's device: the file as it came, and what the coach adds. */
import { openDB } from '../vendor/idb/index.js';
import { Trouble } from '../app/trouble.js';
import { decodeResult } from '../share/result-file.js';

/**
 * @typedef {object} DeskEntry
 * @property {string} id SHA-256 of the file: the same file is kept once
 * @property {ArrayBuffer} file as it came
 * @property {string} note the coach's own
 * @property {string} cue the coach's own, instead of the tool's
 * @property {string} client the name it is kept under; the client's nickname at first
 */

/** @typedef {DeskEntry & { result: import('../share/result-file.js').SentResult }} OpenEntry */

function open() {
  return openDB('underfoot-desk', 1, {
    upgrade(db) {
      db.createObjectStore('results', { keyPath: 'id' });
    },
  }).catch((cause) => {
    throw new Trouble('This browser keeps nothing right now (a private window, or storage is full). What you open can be read, but is gone when the page is closed.', { cause });
  });
}

/** @param {Uint8Array} bytes @returns {Promise<string>} */
async function nameOf(bytes) {
  const digest = await crypto.subtle.digest('SHA-256', /** @type {BufferSource} */ (bytes));
  return Array.from(new Uint8Array(digest), (b) => b.toString(16).padStart(2, '0')).join('');
}

/**
 * @param {Uint8Array} bytes a result file
 * @returns {Promise<OpenEntry>}
 * @throws {import('../share/errors.js').ShareError} when it is none
 */
export async function receive(bytes) {
  const result = decodeResult(bytes);
  const id = await nameOf(bytes);
  const db = await open();
  const kept = await db.get('results', id);
  const entry = kept ?? { id, file: /** @type {ArrayBuffer} */ (bytes.slice().buffer), note: '', cue: '', client: result.lifter || 'No name' };
  if (!kept) await db.put('results', entry);
  return { ...entry, result };
}

/** @returns {Promise<OpenEntry[]>} oldest first */
export async function entries() {
  const db = await open();
  /** @type {DeskEntry[]} */
  const all = await db.getAll('results');
  return all
    .map((entry) => ({ ...entry, result: decodeResult(new Uint8Array(entry.file)) }))
    .sort((a, b) => a.result.day.localeCompare(b.result.day));
}

/** @param {OpenEntry} entry */
export async function keep({ result: _, ...entry }) {
  await (await open()).put('results', entry);
}

/** @param {string} id */
export async function discard(id) {
  await (await open()).delete('results', id);
}
