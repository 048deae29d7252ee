// @ts-check
/** The whole desk as one file, and back: a zip file with every result as it came, and a list of what the coach added. */
import { saveAs } from '../app/save-as.js';
import { Trouble, sentence } from '../app/trouble.js';
import { isZip, zipReader, zipWriter } from '../app/zip-file.js';
import { textOf } from '../input/read-file.js';
import { MAX_FILE_BYTES, open } from '../share/envelope.js';
import { ShareError } from '../share/errors.js';
import { day, list, record } from '../share/fields.js';
import { decodeCheck, encodeCheck } from '../share/check-link.js';
import { MAX_TEXT_BYTES, fromText } from '../share/result-text.js';
import { cleanLines, cleanText } from '../share/text.js';
import { dayToday } from './words.js';
import { NO_NAME, OWN_MAX, asItCame, change, changeClient, joined, receive, receiveLink, rememberSent, wholeDesk } from './desk-store.js';

const KIND = 'underfoot-desk';
/** 1: one envelope with every file inside. 2: a zip file of `desk.json` and the files, each read by itself. 3: with the clients, the checks and summary links. */
const VERSION = 3;
const LIST = 'desk.json';
/** A list of a hundred thousand results is no larger. */
const MAX_LIST = 100e6;
/** Version 1 was read whole, and therefore bounded as a whole. */
const OLD = { kind: 'desk', version: 1, most: 64 * 1024 * 1024 };

export const DESK_SUFFIX = '.underfoot-desk';

/** What the coach added to a result. @typedef {{ client: string, cue: string, note: string, taken: number }} Words */

export async function exportDesk() {
  const zip = await zipWriter('application/octet-stream');
  const { cards, clients, sent } = await wholeDesk();
  const results = [];
  for (const card of cards) {
    const { id, kind, client, cue, note, taken, own } = card;
    const name = `results/${id}${kind === 'link' ? '.txt' : '.underfoot'}`;
    await zip.asIs(name, new Blob([/** @type {BlobPart} */ (await asItCame(card))]));
    results.push({ name, client, cue, note, taken, own });
  }
  const checks = [...sent.values()].map(({ check, ...about }) => ({ ...about, check: encodeCheck(check) }));
  await zip.text(LIST, JSON.stringify({ kind: KIND, version: VERSION, results, clients: [...clients.values()], checks }));
  saveAs(`coach-desk-${dayToday()}${DESK_SUFFIX}`, await zip.done(), 'application/octet-stream');
}

/** @typedef {{ added: string[], known: number, bad: string[], doubts: string[] }} Counts added: whose; known: were here already; bad: why others were left out; doubts: what to look at */

/**
 * Takes in one file, a client's result, a summary link in a text, or a whole desk, told apart by what is in it.
 * @param {File} file
 * @param {(done: number, all: number) => void} [progress] of a desk
 * @returns {Promise<Counts>}
 */
export async function takeFile(file, progress = () => {}) {
  if (await isZip(file)) return importDesk(file, progress);
  if (file.size > OLD.most) throw new ShareError('too-large');
  const bytes = new Uint8Array(await file.arrayBuffer());
  try {
    const { card, known, doubts } = await takeOne(bytes);
    return { added: known ? [] : [card.client], known: known ? 1 : 0, bad: [], doubts };
  } catch (error) {
    const old = error instanceof ShareError && error.code !== 'damaged' ? oldDesk(bytes) : null;
    if (!old) throw error;
    return takeAll(
      old.map((item) => async () => item),
      progress,
    );
  }
}

/** A result file, or a text with one or with a summary link in it. @param {Uint8Array} bytes */
async function takeOne(bytes) {
  // Gzip's head is no text.
  if (bytes[0] === 0x1f || bytes.length > MAX_TEXT_BYTES) return receive(bytes);
  const text = new TextDecoder().decode(bytes);
  const inside = fromText(text);
  return inside ? receive(inside) : receiveLink(text);
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
  // The checks first: by them the results are known.
  for (const raw of Array.isArray(all.checks) ? all.checks : []) await takeCheck(raw).catch(() => {});
  const counts = await takeAll(
    all.results.map((/** @type {any} */ item) => async () => ({
      ...item,
      file: new Uint8Array(await (await zip.part(String(item?.name), { most: MAX_FILE_BYTES })).arrayBuffer()),
    })),
    progress,
  );
  const { clients } = await wholeDesk();
  for (const raw of Array.isArray(all.clients) ? all.clients : []) {
    const name = cleanText(raw?.name, OWN_MAX.client);
    if (name && !clients.has(name)) await changeClient(name, { archived: raw.archived === true, seen: Number.isSafeInteger(raw.seen) ? raw.seen : 0 });
  }
  return counts;
}

/** @param {any} raw as imported */
async function takeCheck(raw) {
  const check = decodeCheck(String(raw?.check));
  if (check.ref === null || (await wholeDesk()).sent.has(check.ref)) return;
  await rememberSent({
    ref: check.ref,
    client: cleanText(raw.client, OWN_MAX.client),
    made: Number.isSafeInteger(raw.made) ? raw.made : Date.now(),
    due: day(raw.due),
    given: raw.given === true,
    check,
  });
}

function notOurs() {
  return new Trouble('This is not a desk backup: choose a file that “Export all as one file” made, or a client’s result.');
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
  const counts = { added: [], known: 0, bad: [], doubts: [] };
  for (const [i, item] of items.entries()) {
    progress(i, items.length);
    try {
      const { file, ...words } = await item();
      if (!(file instanceof Uint8Array)) throw new ShareError('damaged', 'no file');
      const { card, known } = await takeOne(file);
      const now = await change(card.id, { ...merged(card, words, known), ...(words.own === true ? { own: true } : {}) });
      if (known) counts.known += 1;
      else counts.added.push(now.client);
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
  const there = { client: cleanText(raw.client, OWN_MAX.client), cue: cleanText(raw.cue, OWN_MAX.cue), note: cleanLines(raw.note, OWN_MAX.note) };
  if (!known) return { ...there, client: there.client || here.client, ...(Number.isSafeInteger(raw.taken) ? { taken: Number(raw.taken) } : {}) };
  const unnamed = here.client === (here.nickname || NO_NAME);
  const both = there.cue && here.cue && there.cue !== here.cue;
  return {
    client: unnamed && there.client ? there.client : here.client,
    cue: here.cue || there.cue,
    note: joined(joined(here.note, there.note), both ? `Cue on the other desk: ${there.cue}` : ''),
  };
}
