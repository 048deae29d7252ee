// @ts-check
/** Sets kept on this device: a card each for the list, and the packed keypoints beside it. */
import { openDB } from '../vendor/idb/index.js';
import { Trouble } from '../app/trouble.js';
import { gunzip, gzip } from './gzip.js';

const NAME = 'underfoot';
/** Raise with a step in `upgrade` when the form of a card changes. */
const VERSION = 1;

/** @typedef {import('../app/types.js').KeptSet} KeptSet */
/**
 * What the list needs; the report is without its curves, which are computed anew from the keypoints.
 * @typedef {Omit<KeptSet, 'recording'>} Card
 */

/** @type {Promise<import('../vendor/idb/index.js').IDBPDatabase> | null} */
let opening = null;

function database() {
  opening ??= open().catch((cause) => {
    opening = null;
    if (cause?.name === 'VersionError') throw new Trouble('The kept sets were written by a newer version of this page: load the page again.', { cause });
    throw new Trouble('This browser keeps nothing here (private window, or storage is blocked): save the set as a file instead.', { cause });
  });
  return opening;
}

/** Async, because a browser that blocks storage throws at once. */
async function open() {
  return openDB(NAME, VERSION, {
    upgrade(db, from) {
      if (from < 1) {
        db.createObjectStore('cards', { keyPath: 'id' }).createIndex('made', 'made');
        db.createObjectStore('keypoints', { keyPath: 'id' });
      }
    },
    // A newer page in another tab wants to change the form: let go, so that it can.
    blocking(_from, _to, event) {
      /** @type {IDBDatabase} */ (event.target).close();
      opening = null;
    },
    terminated() { opening = null; },
  });
}

/** @param {unknown} cause @returns {never} */
function failed(cause) {
  if (cause instanceof Trouble) throw cause;
  if (cause instanceof DOMException && cause.name === 'QuotaExceededError') {
    throw new Trouble('This device’s storage is full, so the set was not kept: save it as a file, or delete some kept sets and keep it again.', { cause });
  }
  throw new Trouble('The set could not be kept on this device: save it as a file.', { cause });
}

/**
 * Keeps a set, whole or not at all: both parts in one transaction.
 * @param {KeptSet} set
 */
export async function keep(set) {
  const { recording, report, ...rest } = set;
  const { series: _, ...withoutCurves } = /** @type {any} */ (report);
  try {
    const packed = await gzip(JSON.stringify(recording));
    const tx = (await database()).transaction(['cards', 'keypoints'], 'readwrite');
    await Promise.all([
      tx.objectStore('cards').put({ ...rest, report: withoutCurves }),
      tx.objectStore('keypoints').put({ id: set.id, packed }),
      tx.done,
    ]);
  } catch (cause) {
    failed(cause);
  }
  // Asked for, not waited for: the browser may refuse, and then says so nowhere.
  navigator.storage?.persist?.().catch(() => false);
}

/** Newest first. @returns {Promise<Card[]>} */
export async function cards() {
  const all = await (await database()).getAllFromIndex('cards', 'made');
  return all.reverse();
}

/** @param {string} id @returns {Promise<any>} the recording */
export async function keypoints(id) {
  const row = await (await database()).get('keypoints', id);
  if (!row) throw new Trouble('The keypoints of this set are gone from this device: import them again from an export.');
  return JSON.parse(await gunzip(row.packed));
}

/** @param {Card} card with a new name or note */
export async function change(card) {
  try {
    await (await database()).put('cards', card);
  } catch (cause) {
    failed(cause);
  }
}

/** @param {string[]} ids */
export async function remove(ids) {
  const tx = (await database()).transaction(['cards', 'keypoints'], 'readwrite');
  await Promise.all([...ids.flatMap((id) => [tx.objectStore('cards').delete(id), tx.objectStore('keypoints').delete(id)]), tx.done]);
}

/** @param {string} id */
export async function has(id) {
  return (await (await database()).count('cards', id)) > 0;
}
