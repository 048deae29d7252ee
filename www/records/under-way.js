// @ts-check
/**
 * A set under way, written down every second: should the tab be closed or the browser end, what was measured until then is
 * offered at the next start.
 */
import { database } from './database.js';

const STORE = 'under-way';
const EVERY_MS = 1000;
/** A quarter of an hour at 30 a second, about 11 MB; what comes later is not written down. */
const MAX_FRAMES = 27_000;

/** Held as long as a set is under way: a set of another tab is not offered here. @param {string} id */
const lockName = (id) => `underfoot-set-${id}`;

/**
 * @typedef {object} Head
 * @property {any} setup what a session takes
 * @property {string} name
 * @property {boolean} hurts
 * @property {string} made ISO 8601 time
 * @property {string} [source] in words; the camera when left out
 */
/** @typedef {{ t_ms: number, points: ArrayLike<number> | null }} Frame points flat */

export class UnderWay {
  /** @param {Head} head @param {Frame[]} frames taken so far */
  constructor(head, frames) {
    this.id = crypto.randomUUID();
    this.part = 0;
    this.count = 0;
    /** @type {Frame[]} */
    this.fresh = [];
    this.over = false;
    this.last = -Infinity;
    this.release = () => {};
    navigator.locks
      ?.request(
        lockName(this.id),
        () =>
          new Promise((resolve) => {
            this.release = () => resolve(null);
          }),
      )
      .catch(() => {});
    /** @type {Promise<unknown>} */
    this.writing = this.put({ head });
    for (const frame of frames) this.add(frame);
  }

  /** @param {Frame} frame */
  add(frame) {
    if (this.over || this.count >= MAX_FRAMES) return;
    this.count += 1;
    this.fresh.push(frame);
    if (frame.t_ms - this.last < EVERY_MS) return;
    this.last = frame.t_ms;
    const frames = this.fresh;
    this.fresh = [];
    this.writing = this.writing.then(() => this.put(packed(frames)));
  }

  /** A device that can't keep it goes on without: that is said when the set itself is to be kept. @param {object} content */
  async put(content) {
    if (this.over) return;
    const part = this.part;
    this.part += 1;
    try {
      const tx = (await database()).transaction(STORE, 'readwrite', { durability: 'relaxed' });
      await Promise.all([tx.store.put({ id: this.id, part, ...content }), tx.done]);
    } catch {
      this.over = true;
    }
  }

  /** The set is over, and may be offered if it was not kept. */
  close() {
    this.over = true;
    this.release();
  }

  /** The set is kept, or there is none. */
  async drop() {
    this.over = true;
    await this.writing;
    await forget(this.id);
    this.release();
  }
}

/** @param {Frame[]} frames */
function packed(frames) {
  const size = Math.max(0, ...frames.map(({ points }) => points?.length ?? 0));
  const points = new Float32Array(size * frames.length);
  frames.forEach((frame, i) => {
    if (frame.points) points.set(frame.points, i * size);
  });
  return { times: Float64Array.from(frames, (f) => f.t_ms), seen: Uint8Array.from(frames, (f) => (f.points ? 1 : 0)), points };
}

/** @typedef {{ id: string, head: Head, frames: number, seconds: number }} CutOff */

/** Sets that were cut off, oldest first. @returns {Promise<CutOff[]>} */
export async function cutOff() {
  const held = new Set((await navigator.locks?.query())?.held?.map((lock) => lock.name));
  const all = await (await database()).getAll(STORE);
  const found = all
    .filter((row) => row.part === 0)
    .map(({ id, head }) => {
      const times = all.filter((row) => row.id === id && row.part > 0).flatMap((row) => [...row.times]);
      return { id, head, frames: times.length, seconds: times.length ? (times[times.length - 1] - times[0]) / 1000 : 0 };
    });
  return found.filter(({ id }) => !held.has(lockName(id))).sort((a, b) => a.head.made.localeCompare(b.head.made));
}

/** @param {string} id @returns {Promise<Frame[]>} */
export async function framesOf(id) {
  const rows = await (await database()).getAll(STORE, IDBKeyRange.bound([id, 1], [id, Infinity]));
  return rows.flatMap(({ times, seen, points }) => {
    const size = points.length / times.length;
    return Array.from(times, (t_ms, i) => ({ t_ms, points: seen[i] ? points.slice(i * size, (i + 1) * size) : null }));
  });
}

/** @param {string} id */
export async function forget(id) {
  await (await database()).delete(STORE, IDBKeyRange.bound([id, 0], [id, Infinity]));
}
