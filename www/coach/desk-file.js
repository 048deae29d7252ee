// @ts-check
/** The whole desk as one file, and back. */
import { saveAs } from '../app/save-as.js';
import { list, record } from '../share/fields.js';
import { cleanText } from '../share/text.js';
import { open, seal } from '../share/envelope.js';
import { entries, keep, receive } from './desk-store.js';

const KIND = 'desk';
const VERSION = 1;
/** A desk holds many results; each is bounded again when it is read. */
const MAX_INFLATED = 64 * 1024 * 1024;

export async function exportDesk() {
  const all = await entries();
  const bytes = seal(KIND, VERSION, all.map(({ file, note, cue, client }) => ({ file: new Uint8Array(file), note, cue, client })));
  saveAs('coach-desk.underfoot-desk', bytes);
}

/**
 * @param {Uint8Array} bytes
 * @returns {Promise<number>} results taken in
 */
export async function importDesk(bytes) {
  const { payload } = open(bytes, KIND, VERSION, { inflated: MAX_INFLATED, file: MAX_INFLATED });
  const items = list(payload, 10_000, 'desk');
  for (const item of items) {
    const { file, note, cue, client } = record(item, 'result');
    if (!(file instanceof Uint8Array)) continue;
    const entry = await receive(file);
    await keep({ ...entry, note: entry.note || cleanText(note, 500), cue: entry.cue || cleanText(cue, 120), client: cleanText(client, 30) || entry.client });
  }
  return items.length;
}
