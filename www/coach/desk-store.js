// @ts-check
/**
 * The coach's desk on this device: what clients sent, as it came; a card for each with what the list shows and what the coach
 * adds; the clients; the checks that were made here.
 */
import { keptDatabase, notKept } from '../app/kept-database.js';
import { recall } from '../app/memory.js';
import { Trouble } from '../app/trouble.js';
import { readLink } from '../share/find-link.js';
import { decodeResult, printOf } from '../share/result-file.js';
import { ownerOf } from './whose.js';

export { fold, newest } from './whose.js';

/**
 * @typedef {object} DeskCard
 * @property {string} id SHA-256 of the file or link: the same one is stored once
 * @property {'file' | 'link'} kind a link holds a summary only
 * @property {string} client the name it is stored under; the client's nickname at first
 * @property {string} nickname as the client wrote it, or ''
 * @property {string} note the coach's own, of several lines
 * @property {string} cue the coach's own, instead of the tool's
 * @property {string} day of filming, `YYYY-MM-DD`
 * @property {number} sets
 * @property {number | null} height_m as the client said it
 * @property {boolean} hurts the client said that something hurts
 * @property {number} taken when it came in, ms since 1970: of one day, the later ones come later
 * @property {number | null} ref of the check that it answers
 * @property {string} coach the name in that check, '' when there is none
 * @property {boolean} own the coach said that the check is theirs, made elsewhere
 * @property {string} again the id of the result that holds the same sets, or ''
 * @property {string[]} prints of its sets
 * @property {Brief | null} brief what it showed, computed here; null until it is
 */

/** @typedef {{ key: string, findings: { kind: string, side: string | null }[], reps: number }} Brief */
/** @typedef {{ name: string, archived: boolean, seen: number }} Client seen: when a result of theirs was last looked at, ms */
/** @typedef {{ ref: number, client: string, made: number, due: string, given: boolean, check: import('../share/check-link.js').Check }} SentCheck given: the link went out */
/** @typedef {import('../share/result-file.js').SentResult} SentResult */

/** A result without a nickname. */
export const NO_NAME = 'No name';
/** Longest of the coach's own words. */
export const OWN_MAX = { client: 30, cue: 120, note: 4000 };

/** What cards of earlier versions lack. @type {Pick<DeskCard, 'kind' | 'hurts' | 'ref' | 'coach' | 'own' | 'again' | 'prints' | 'brief'>} */
const LACKING = { kind: 'file', hurts: false, ref: null, coach: '', own: false, again: '', prints: [], brief: null };

export const deskDatabase = keptDatabase('underfoot-desk', 3, {
  what: 'the desk',
  instead: 'open this page in an ordinary window',
  async upgrade(db, from, tx) {
    if (from < 1) db.createObjectStore('results', { keyPath: 'id' });
    if (from < 2) db.createObjectStore('cards', { keyPath: 'id' });
    db.createObjectStore('clients', { keyPath: 'name' });
    db.createObjectStore('sent', { keyPath: 'ref' });
    db.createObjectStore('reports', { keyPath: 'id' });
    if (from !== 1) return;
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

/** @param {string} id @param {SentResult | null} result null when it can't be read @returns {DeskCard} */
function cardOf(id, result) {
  const nickname = result?.lifter ?? '';
  return {
    ...LACKING,
    id,
    client: nickname || NO_NAME,
    nickname,
    note: '',
    cue: '',
    day: result?.day ?? '',
    sets: result?.sets.length ?? 0,
    height_m: result?.sets[0]?.recording.lifter?.height_m ?? null,
    hurts: result?.sets.some((set) => set.hurts) ?? false,
    taken: Date.now(),
    ref: result?.check?.ref ?? null,
    coach: result?.check ? result.check.coach || 'another coach' : '',
  };
}

/** @param {Uint8Array} bytes @returns {Promise<string>} */
async function hash(bytes) {
  const digest = await crypto.subtle.digest('SHA-256', /** @type {BufferSource} */ (bytes));
  return Array.from(new Uint8Array(digest), (b) => b.toString(16).padStart(2, '0')).join('');
}

/** @typedef {{ card: DeskCard, known: boolean, doubts: string[] }} Received known: it was here already, and stays as it is; doubts: what to look at, in sentences */

/**
 * @param {Uint8Array} bytes a result file
 * @returns {Promise<Received>}
 * @throws {import('../share/errors.js').ShareError} when it is none
 */
export async function receive(bytes) {
  const result = decodeResult(bytes);
  const card = cardOf(await hash(bytes), result);
  card.prints = await Promise.all(result.sets.map(async (set) => (await hash(printOf(set.recording))).slice(0, 24)));
  return put(card, { id: card.id, file: bytes.slice().buffer });
}

/**
 * @param {string} text a summary link, or a message with one in it
 * @returns {Promise<Received>}
 * @throws {import('../share/errors.js').ShareError} when there is none
 */
export async function receiveLink(text) {
  const link = readLink(text);
  if (link.kind !== 'result') throw new Trouble('This is the link of a check, which goes to a client: on the desk you open what clients send back.');
  const { summary, fragment } = link;
  const id = await hash(new TextEncoder().encode(fragment));
  return put(
    {
      ...cardOf(id, null),
      kind: 'link',
      client: summary.lifter || NO_NAME,
      nickname: summary.lifter,
      day: summary.day,
      sets: summary.sets.length,
      hurts: summary.sets.some((set) => set.hurts),
      brief: {
        key: 'summary',
        findings: summary.sets.map(({ finding, side }) => ({ kind: finding, side })),
        reps: summary.sets.reduce((n, set) => n + set.reps, 0),
      },
    },
    { id, fragment },
  );
}

/** @param {DeskCard} card @param {{ id: string, file?: ArrayBuffer, fragment?: string }} row @returns {Promise<Received>} */
async function put(card, row) {
  try {
    const tx = (await deskDatabase()).transaction(['cards', 'results', 'sent'], 'readwrite');
    const here = await tx.objectStore('cards').get(card.id);
    if (here) return { card: { ...LACKING, ...here }, known: true, doubts: [] };
    const all = (await tx.objectStore('cards').getAll()).map((c) => ({ ...LACKING, ...c }));
    const sent = card.ref === null ? undefined : await tx.objectStore('sent').get(card.ref);
    const doubts = ownerOf(card, all, sent, recall('coach-name', ''));
    await Promise.all([tx.objectStore('cards').put(card), tx.objectStore('results').put(row), tx.done]);
    return { card, known: false, doubts };
  } catch (cause) {
    throw notKept(cause, 'this result', 'keep the file itself');
  }
}

/** @returns {Promise<DeskCard[]>} oldest first */
export async function cards() {
  const all = (await (await deskDatabase()).getAll('cards')).map((card) => ({ ...LACKING, ...card }));
  return all.sort((a, b) => a.day.localeCompare(b.day) || a.taken - b.taken);
}

/** @returns {Promise<{ cards: DeskCard[], clients: Map<string, Client>, sent: Map<number, SentCheck> }>} */
export async function wholeDesk() {
  const db = await deskDatabase();
  const [all, clients, sent] = await Promise.all([cards(), db.getAll('clients'), db.getAll('sent')]);
  return { cards: all, clients: new Map(clients.map((c) => [c.name, c])), sent: new Map(sent.map((s) => [s.ref, s])) };
}

/** @param {string} id @returns {Promise<{ file?: Uint8Array, fragment?: string }>} what came */
async function row(id) {
  const found = await (await deskDatabase()).get('results', id);
  if (!found) throw new Trouble('This result was deleted in another tab.');
  return found.file ? { file: new Uint8Array(found.file) } : { fragment: String(found.fragment) };
}

/** @param {DeskCard} card @returns {Promise<Uint8Array>} the file, or the link's text, as it came */
export async function asItCame(card) {
  const { file, fragment } = await row(card.id);
  return file ?? new TextEncoder().encode(fragment);
}

/** @param {DeskCard} card of a file @returns {Promise<SentResult>} */
export async function resultOf(card) {
  return decodeResult(await asItCame(card));
}

/**
 * Changes some of a card, as it is now and not as it was when it was read: another tab may have changed the rest. Where both changed the
 * same words, none of them is lost.
 * @param {string} id
 * @param {Partial<DeskCard>} fields
 * @param {Partial<DeskCard>} [before] what these fields were when they were read
 * @returns {Promise<DeskCard>} as it is now
 */
export async function change(id, fields, before = {}) {
  try {
    const tx = (await deskDatabase()).transaction('cards', 'readwrite');
    const stored = await tx.store.get(id);
    if (!stored) throw new Trouble('This result was deleted in another tab.');
    const now = { ...LACKING, ...stored, ...fields };
    const both = (/** @type {'note' | 'cue'} */ key) =>
      fields[key] !== undefined && before[key] !== undefined && stored[key] !== before[key] && stored[key] !== fields[key];
    if (both('note')) now.note = joined(stored.note, fields.note ?? '');
    if (both('cue') && stored.cue) now.note = joined(now.note, `Cue written in another tab: ${stored.cue}`);
    await Promise.all([tx.store.put(now), tx.done]);
    return now;
  } catch (cause) {
    throw notKept(cause, 'what you wrote', 'copy it somewhere');
  }
}

/** One text after the other, neither of them twice. @param {string} a @param {string} b */
export function joined(a, b) {
  if (!b || a.includes(b)) return a;
  return a && !b.includes(a) ? `${a}\n${b}` : b;
}

/** @param {string[]} ids */
export async function discard(ids) {
  const tx = (await deskDatabase()).transaction(['cards', 'results', 'reports'], 'readwrite');
  await Promise.all([...ids.flatMap((id) => /** @type {const} */ (['cards', 'results', 'reports']).map((name) => tx.objectStore(name).delete(id))), tx.done]);
}

/** Everything on the desk. */
export async function discardAll() {
  const names = /** @type {const} */ (['cards', 'results', 'reports', 'clients', 'sent']);
  const tx = (await deskDatabase()).transaction(names, 'readwrite');
  await Promise.all([...names.map((name) => tx.objectStore(name).clear()), tx.done]);
}

/** @param {string} name @param {Partial<Client>} fields */
export async function changeClient(name, fields) {
  const tx = (await deskDatabase()).transaction('clients', 'readwrite');
  const here = await tx.store.get(name);
  await Promise.all([tx.store.put({ archived: false, seen: 0, ...here, ...fields, name }), tx.done]);
}

/** Gives all of a client's results and checks another name; a client of that name gets them. @param {string} from @param {string} to */
export async function renameClient(from, to) {
  const tx = (await deskDatabase()).transaction(['cards', 'clients', 'sent'], 'readwrite');
  const [all, was, is, sent] = await Promise.all([
    tx.objectStore('cards').getAll(),
    tx.objectStore('clients').get(from),
    tx.objectStore('clients').get(to),
    tx.objectStore('sent').getAll(),
  ]);
  await Promise.all([
    ...all.filter((card) => card.client === from).map((card) => tx.objectStore('cards').put({ ...card, client: to })),
    ...sent.filter((check) => check.client === from).map((check) => tx.objectStore('sent').put({ ...check, client: to })),
    tx.objectStore('clients').put({ archived: is?.archived ?? was?.archived ?? false, seen: Math.max(was?.seen ?? 0, is?.seen ?? 0), name: to }),
    from === to ? null : tx.objectStore('clients').delete(from),
    tx.done,
  ]);
}

/** Takes a client off the desk with everything of theirs. @param {string} name */
export async function discardClient(name) {
  const { cards: all, sent } = await wholeDesk();
  await discard(all.filter((card) => card.client === name).map((card) => card.id));
  const tx = (await deskDatabase()).transaction(['clients', 'sent'], 'readwrite');
  await Promise.all([
    tx.objectStore('clients').delete(name),
    ...[...sent.values()].filter((s) => s.client === name).map((s) => tx.objectStore('sent').delete(s.ref)),
    tx.done,
  ]);
}

/** @param {SentCheck} check */
export async function rememberSent(check) {
  try {
    await (await deskDatabase()).put('sent', check);
  } catch (cause) {
    throw notKept(cause, 'this check', 'make its link again when there is room');
  }
}

/** @param {number} ref */
export async function forgetSent(ref) {
  await (await deskDatabase()).delete('sent', ref);
}
