// @ts-check
/** A database on this device: opened once, and what to do when another tab has it open. */
import { openDB } from '../vendor/idb/index.js';
import { Trouble } from './trouble.js';

/** @typedef {import('../vendor/idb/index.js').IDBPDatabase} Database */
/** @typedef {import('../vendor/idb/index.js').IDBPTransaction<unknown, string[], 'versionchange'>} Upgrading */

/**
 * @param {string} name
 * @param {number} version
 * @param {object} options
 * @param {string} options.what is in it, for sentences, such as `the kept sets`
 * @param {string} options.instead what to do where nothing can be kept
 * @param {(db: Database, from: number, tx: Upgrading) => void | Promise<void>} options.upgrade from that version, 0 for none
 * @returns {() => Promise<Database>}
 */
export function keptDatabase(name, version, { what, instead, upgrade }) {
  /** @type {Promise<Database> | null} */
  let opening = null;
  /** The change of form waits for another tab; until that is closed every further request would wait silently. */
  let blocked = false;

  const heldElsewhere = () =>
    new Trouble(`Another tab still shows an older version of this page, so ${what} can’t be opened: close that tab and try again. Nothing is lost.`);

  /** Async, because a browser that blocks storage throws at once. @returns {Promise<Database>} */
  const open = async () =>
    new Promise((resolve, reject) => {
      openDB(name, version, {
        upgrade: (db, from, _to, tx) => upgrade(db, from, tx),
        blocked() {
          blocked = true;
          reject(heldElsewhere());
        },
        // A newer page in another tab wants to change the form: let go, so that it can.
        blocking(_from, _to, event) {
          /** @type {IDBDatabase} */ (event.target).close();
          opening = null;
        },
        terminated() {
          opening = null;
        },
      }).then((db) => {
        if (blocked) opening = Promise.resolve(db);
        blocked = false;
        resolve(db);
      }, reject);
    });

  return async () => {
    if (blocked) throw heldElsewhere();
    opening ??= open().catch((cause) => {
      opening = null;
      if (cause instanceof Trouble) throw cause;
      if (cause?.name === 'VersionError') throw new Trouble('What is saved here was written by a newer version of this page: load the page again.', { cause });
      throw new Trouble(`This browser saves nothing for this page (private window, or storage is blocked): ${instead}.`, { cause });
    });
    return opening;
  };
}

/**
 * @param {unknown} cause of a failed write
 * @param {string} what was to be kept
 * @param {string} instead what to do
 * @returns {Trouble}
 */
export function notKept(cause, what, instead) {
  if (cause instanceof Trouble) return cause;
  if (cause instanceof DOMException && cause.name === 'QuotaExceededError') {
    return new Trouble(`This device’s storage is full, so ${what} was not saved: ${instead}, or delete some saved sets and save it again.`, { cause });
  }
  return new Trouble(`This device did not save ${what}: ${instead}.`, { cause });
}
