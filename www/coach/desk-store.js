// @ts-check
/** Results that clients sent, kept on the coach's device: the file as it came, and a card with what the list shows and what the coach adds. */
import { keptDatabase, notKept } from '../app/kept-database.js';
import { Trouble } from '../app/trouble.js';
import { decodeResult } from '../share/result-file.js';
import { cleanText } from '../share/text.js';

/**
 * @typedef {object} DeskCard
 * @property {string} id SHA-256 of the file: the same file is kept once
 * @property {string} client the name it is kept under; the client's nickname at first
 * @property {string} nickname as the client wrote it, or ''
 * @property {string} note the coach's own
 * @property {string} cue the coach's own, instead of the tool's
 * @property {string} day `YYYY-MM-DD`, as the client's page wrote it
 * @property {number} sets
 * @property {string} said what the first set showed, as the client's page put it
 * @property {number | null} height_m as the client said it
 * @property {boolean} [hurts] the client said that something hurts
 * @property {number} taken when it came in, ms since 1970: of one day, the later ones come later
 */

/** @typedef {import('../share/result-file.js').SentResult} SentResult */
/** @typedef {{ card: DeskCard, result: SentResult }} OpenEntry */

/** A result without a nickname. */
export const NO_NAME = 'No name';
/** Longest of the coach's own words. */
export const OWN_MAX = { client: 30, cue: 120, note: 2000 };

const open = keptDatabase('underfoot-desk', 2, {
  what: 'the desk', instead: 'open this page in an ordinary window',
  async upgrade(db, from, tx) {
    if (from < 1) db.createObjectStore('results', { keyPath: 'id' });
    db.createObjectStore('cards', { keyPath: 'id' });
    if (from < 1) return;
    // Version 1 had the coach's words beside the file and no cards.
    for (let at = await tx.objectStore('results').openCursor(); at; at = await at.continue()) {
      const { id, file, ...words } = at.value;
      await tx.objectStore('cards').put({ ...cardOf(id, readable(new Uint8Array(file))), ...words });
    }
  },
});

/** @param {Uint8Array} bytes */
function readable(bytes) {
  try {
    return decodeResult(bytes);
  } catch {
    return null;
  }
}

/** @param {string} id @param {SentResult | null} result @returns {DeskCard} */
function cardOf(id, result) {
  const sentence = result?.sets.map((set) => /** @type {any} */ (set.report).finding?.sentence).find((s) => typeof s === 'string');
  const nickname = result?.lifter ?? '';
  return {
    id, client: nickname || NO_NAME, nickname, note: '', cue: '', day: result?.day ?? '', sets: result?.sets.length ?? 0,
    height_m: result?.sets[0]?.recording.lifter?.height_m ?? null,
    hurts: result?.sets.some((set) => set.hurts) ?? false,
    said: result ? cleanText(sentence, 160) : 'This file can’t be read by this version of the page.', taken: Date.now(),
  };
}

/** @param {Uint8Array} bytes @returns {Promise<string>} */
async function nameOf(bytes) {
  const digest = await crypto.subtle.digest('SHA-256', /** @type {BufferSource} */ (bytes));
  return Array.from(new Uint8Array(digest), (b) => b.toString(16).padStart(2, '0')).join('');
}

/**
 * @param {Uint8Array} bytes a result file
 * @returns {Promise<{ card: DeskCard, known: boolean, doubt: string }>} known: it was here already, and stays as it is; doubt:
 *   why it may not be whose it is kept as
 * @throws {import('../share/errors.js').ShareError} when it is none
 */
export async function receive(bytes) {
  const card = cardOf(await nameOf(bytes), decodeResult(bytes));
  let doubt = '';
  try {
    const tx = (await open()).transaction(['cards', 'results'], 'readwrite');
    const here = await tx.objectStore('cards').get(card.id);
    if (here) return { card: here, known: true, doubt: '' };
    doubt = assign(card, await tx.objectStore('cards').getAll());
    await Promise.all([
      tx.objectStore('cards').put(card),
      tx.objectStore('results').put({ id: card.id, file: bytes.slice().buffer }),
      tx.done,
    ]);
  } catch (cause) {
    throw notKept(cause, 'this result', 'keep the file itself');
  }
  return { card, known: false, doubt };
}

/** Heights this much apart, m, are not one person's typed twice. */
const OTHER_HEIGHT = 0.03;

/**
 * A nickname that the coach has given a name goes under that name. Two people may have one nickname.
 * @param {DeskCard} card gets its name
 * @param {DeskCard[]} all
 * @returns {string} why it may be another's, in a sentence, or ''
 */
function assign(card, all) {
  if (!card.nickname) return '';
  const earlier = all.filter((other) => other.nickname === card.nickname);
  const names = [...new Set(earlier.map((other) => other.client))];
  if (names.length > 1) return `More than one client writes “${card.nickname}” (${names.join(', ')}): open the new result and say whose it is.`;
  if (!names.length) return '';
  [card.client] = names;
  const height = earlier.sort((a, b) => a.taken - b.taken).map((other) => other.height_m).findLast((h) => h);
  if (!height || !card.height_m || Math.abs(height - card.height_m) < OTHER_HEIGHT) return '';
  const cm = (/** @type {number} */ m) => `${Math.round(100 * m)} cm`;
  return `“${card.nickname}” is ${cm(card.height_m)} tall in the new result and was ${cm(height)} before: if it is somebody else, open it and give it a name of its own.`;
}

/** @returns {Promise<DeskCard[]>} oldest first */
export async function cards() {
  /** @type {DeskCard[]} */
  const all = await (await open()).getAll('cards');
  return all.sort((a, b) => a.day.localeCompare(b.day) || a.taken - b.taken);
}

/** @param {string} id @returns {Promise<Uint8Array>} the file as it came */
export async function fileOf(id) {
  const row = await (await open()).get('results', id);
  if (!row) throw new Trouble('This result was deleted in another tab.');
  return new Uint8Array(row.file);
}

/** @param {DeskCard} card @returns {Promise<OpenEntry>} */
export async function openEntry(card) {
  return { card, result: decodeResult(await fileOf(card.id)) };
}

/** Keeps the coach's words of a result that is still there. @param {DeskCard} card */
export async function keep(card) {
  try {
    const tx = (await open()).transaction('cards', 'readwrite');
    if (!await tx.store.get(card.id)) throw new Trouble('This result was deleted in another tab.');
    await Promise.all([tx.store.put(card), tx.done]);
  } catch (cause) {
    throw notKept(cause, 'what you wrote', 'copy it somewhere');
  }
}

/** @param {string} id */
export async function discard(id) {
  const tx = (await open()).transaction(['cards', 'results'], 'readwrite');
  await Promise.all([tx.objectStore('cards').delete(id), tx.objectStore('results').delete(id), tx.done]);
}
