// @ts-check
/** The database on this device, its form by version, and what to do when another tab has it open. */
import { openDB } from '../vendor/idb/index.js';
import { Trouble } from '../app/trouble.js';

const NAME = 'underfoot';
/** Raise with a step in `upgrade` when the form of what is kept changes. */
const VERSION = 2;

/** @typedef {import('../vendor/idb/index.js').IDBPDatabase} Database */

/** @type {Promise<Database> | null} */
let opening = null;
/** The change of form waits for another tab; until that is closed every further request would wait silently. */
let blocked = false;

/** @returns {Promise<Database>} */
export async function database() {
  if (blocked) throw heldElsewhere();
  opening ??= open().catch((cause) => {
    opening = null;
    if (cause instanceof Trouble) throw cause;
    if (cause?.name === 'VersionError') throw new Trouble('The kept sets were written by a newer version of this page: load the page again.', { cause });
    throw new Trouble('This browser keeps nothing here (private window, or storage is blocked): save the set as a file instead.', { cause });
  });
  return opening;
}

function heldElsewhere() {
  return new Trouble('Another tab still shows an older version of this page, so the kept sets can’t be opened: close that tab and try again. Nothing is lost.');
}

/** Async, because a browser that blocks storage throws at once. @returns {Promise<Database>} */
async function open() {
  return new Promise((resolve, reject) => {
    openDB(NAME, VERSION, {
      upgrade(db, from) {
        if (from < 1) {
          db.createObjectStore('cards', { keyPath: 'id' }).createIndex('made', 'made');
          db.createObjectStore('keypoints', { keyPath: 'id' });
        }
        if (from < 2) db.createObjectStore('films', { keyPath: 'id' });
      },
      blocked() {
        blocked = true;
        reject(heldElsewhere());
      },
      // A newer page in another tab wants to change the form: let go, so that it can.
      blocking(_from, _to, event) {
        /** @type {IDBDatabase} */ (event.target).close();
        opening = null;
      },
      terminated() { opening = null; },
    }).then((db) => {
      if (blocked) opening = Promise.resolve(db);
      blocked = false;
      resolve(db);
    }, reject);
  });
}
