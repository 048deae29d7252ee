// @ts-check
/** The lifter's database on this device, and its form by version. */
import { keptDatabase } from '../app/kept-database.js';

/** Raise with a step in `upgrade` when the form of what is kept changes. */
const VERSION = 3;

/** @returns {Promise<import('../app/kept-database.js').Database>} */
export const database = keptDatabase('underfoot', VERSION, {
  what: 'the saved sets',
  instead: 'save the set as a file instead',
  upgrade(db, from) {
    if (from < 1) {
      db.createObjectStore('cards', { keyPath: 'id' }).createIndex('made', 'made');
      db.createObjectStore('keypoints', { keyPath: 'id' });
    }
    if (from < 2) db.createObjectStore('films', { keyPath: 'id' });
    if (from < 3) db.createObjectStore('under-way', { keyPath: ['id', 'part'] });
  },
});
