// @ts-check
/** Sets kept on this device: a card each for the list; the packed keypoints, and a film if the lifter said so, beside it. */
import { notKept } from '../app/kept-database.js';
import { Trouble } from '../app/trouble.js';
import { filmedAt } from '../result/set-facts.js';
import { database } from './database.js';
import { gunzip, gzip } from './gzip.js';

/** @typedef {import('../app/types.js').KeptSet} KeptSet */
/** @typedef {import('../app/types.js').Film} Film */
/**
 * What the list needs; the report is without its curves, which are computed anew from the keypoints.
 * @typedef {Omit<KeptSet, 'recording'> & { film_bytes?: number, setup?: { load?: any, footwear?: any } }} Card film_bytes: a film of that size is kept
 *   with it; setup: what was said of load and footwear
 */

/** @param {unknown} cause @param {string} what @returns {never} */
function failed(cause, what) {
  throw notKept(cause, what, 'save it as a file');
}

/**
 * Keeps a set, whole or not at all: all parts in one transaction.
 * @param {KeptSet} set
 * @param {Film} [film] only if the lifter said so
 */
export async function keep(set, film) {
  const { recording, report, ...rest } = set;
  const { series: _, ...withoutCurves } = /** @type {any} */ (report);
  try {
    const packed = await gzip(JSON.stringify(recording));
    const tx = (await database()).transaction(['cards', 'keypoints', 'films'], 'readwrite');
    await Promise.all([
      tx
        .objectStore('cards')
        .put({
          ...rest,
          setup: { load: recording.load, footwear: recording.footwear },
          report: withoutCurves,
          ...(film ? { film_bytes: film.file.size } : {}),
        }),
      tx.objectStore('keypoints').put({ id: set.id, packed }),
      film ? tx.objectStore('films').put({ id: set.id, file: film.file, from_ms: film.from_ms, feet: film.feet ?? [] }) : null,
      tx.done,
    ]);
  } catch (cause) {
    failed(cause, 'the set');
  }
  // Asked for, not waited for: the browser may refuse, and then says so nowhere.
  navigator.storage?.persist?.().catch(() => false);
}

/** Filmed last first. @returns {Promise<Card[]>} */
export async function cards() {
  const all = await (await database()).getAll('cards');
  return all.sort((a, b) => filmedAt(b).localeCompare(filmedAt(a)));
}

/** @param {string} id @returns {Promise<Card | undefined>} */
export async function cardOf(id) {
  return (await database()).get('cards', id);
}

/** @param {string} id @returns {Promise<any>} the recording */
export async function keypoints(id) {
  const row = await (await database()).get('keypoints', id);
  if (!row) throw new Trouble('The pose data of this set is gone from this device: import them again from an export.');
  return JSON.parse(await gunzip(row.packed));
}

/** @param {string} id @returns {Promise<KeptSet | null>} a kept set as it was, without its curves; null when it is gone */
export async function kept(id) {
  const card = await (await database()).get('cards', id);
  return card ? { ...card, recording: await keypoints(id) } : null;
}

/** @param {string} id @returns {Promise<Film | undefined>} */
export async function filmOf(id) {
  return (await database()).get('films', id);
}

/**
 * Changes a card that is still there: a set that was deleted in another tab does not come back.
 * @param {string} id
 * @param {Partial<Card>} fields
 */
export async function change(id, fields) {
  try {
    const tx = (await database()).transaction('cards', 'readwrite');
    const card = await tx.store.get(id);
    if (!card) throw new Trouble('This set was deleted in another tab.');
    await Promise.all([tx.store.put({ ...card, ...fields }), tx.done]);
  } catch (cause) {
    failed(cause, 'the change');
  }
}

/**
 * Adds a film to a kept set, or takes it away.
 * @param {string} id
 * @param {Film | null} film
 */
export async function changeFilm(id, film) {
  try {
    const tx = (await database()).transaction(['cards', 'films'], 'readwrite');
    const card = await tx.objectStore('cards').get(id);
    if (!card) throw new Trouble('This set is not (or no longer) saved on this device, so its video can’t be saved with it.');
    const { film_bytes: _, ...rest } = card;
    await Promise.all([
      tx.objectStore('cards').put(film ? { ...rest, film_bytes: film.file.size } : rest),
      film ? tx.objectStore('films').put({ id, file: film.file, from_ms: film.from_ms, feet: film.feet ?? [] }) : tx.objectStore('films').delete(id),
      tx.done,
    ]);
  } catch (cause) {
    failed(cause, 'the video');
  }
}

/** @param {string[]} ids */
export async function remove(ids) {
  const names = /** @type {const} */ (['cards', 'keypoints', 'films']);
  const tx = (await database()).transaction(names, 'readwrite');
  await Promise.all([...ids.flatMap((id) => names.map((name) => tx.objectStore(name).delete(id))), tx.done]);
}

/** @param {string} id */
export async function has(id) {
  return (await (await database()).count('cards', id)) > 0;
}
