// @ts-check
/** One set before the camera: set-up, count-in, counting, end. */
import { StartWatch } from './start-watch.js';

/** Kept from before the start, so that the set has its quiet standing. */
const BEFORE_MS = 5000;
/** A set-up session forgets this often, so that waiting costs no memory. */
const FORGET_MS = 30_000;

/** @typedef {import('../app/running-set.js').RunningSet} RunningSet */
/** @typedef {{ t_ms: number, points: Float32Array | null, crops: any[] | undefined }} Taken */
/** @typedef {{ live: import('../pkg/index.js').Live, countIn: number, started: boolean }} Step */

export class LiveSet {
  /**
   * @param {() => Promise<RunningSet>} open a new set with what is known now
   * @param {() => void} onOver the lifter has racked the bar or walked out
   * @param {(set: RunningSet) => import('../records/under-way.js').UnderWay} writeDown starts to write a set down, for the case that it is cut off
   */
  constructor(open, onOver, writeDown) {
    this.open = open;
    this.onOver = onOver;
    this.writeDown = writeDown;
    /** @type {import('../records/under-way.js').UnderWay | null} */
    this.written = null;
    /** @type {RunningSet | null} */
    this.set = null;
    this.counting = false;
    this.told = false;
    this.over = false;
    this.watch = new StartWatch();
    /** @type {Taken[]} */
    this.recent = [];
    this.since = NaN;
  }

  /** Counting is to begin with the next frame, whether the lifter stands still or not. */
  startNow() {
    this.told = true;
  }

  /**
   * One frame at a time: the next is pushed when this one is answered.
   * @param {Taken} taken
   * @param {boolean} feet are in the picture
   * @returns {Promise<Step>}
   */
  async push(taken, feet) {
    const { t_ms } = taken;
    this.set ??= await this.renew();
    const live = await this.set.push(t_ms, taken.points, taken.crops);
    if (this.counting) {
      this.written?.add({ t_ms, points: taken.points });
      return { live, countIn: 1, started: false };
    }
    this.recent.push(taken);
    while (this.recent[0].t_ms < t_ms - BEFORE_MS) this.recent.shift();
    if (Number.isNaN(this.since)) this.since = t_ms;
    const countIn = this.watch.ready(t_ms, feet, live);
    const moving = live.phase === 'down' || live.phase === 'bottom' || live.phase === 'up';
    if (countIn >= 1 || this.told) {
      // Counting begins with the last seconds already in.
      const again = await this.restart();
      this.counting = true;
      this.written = this.writeDown(this.set);
      return { live: again ?? live, countIn, started: true };
    }
    if (t_ms - this.since > FORGET_MS && !moving && countIn === 0) await this.restart();
    return { live, countIn, started: false };
  }

  /** @returns {Promise<RunningSet>} */
  async renew() {
    const set = await this.open();
    set.on('set', () => {
      if (this.counting) this.onOver();
    });
    if (this.over) set.free();
    return set;
  }

  async restart() {
    this.set?.free();
    this.set = await this.renew();
    this.since = this.recent[0]?.t_ms ?? NaN;
    const { set } = this;
    // Sent at once and answered in order: only the last answer counts.
    const answers = await Promise.all(this.recent.map(({ t_ms, points, crops }) => set.push(t_ms, points, crops)));
    return answers.at(-1);
  }

  free() {
    this.over = true;
    this.set?.free();
  }
}
