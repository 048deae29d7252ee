// @ts-check
/** One set before the camera: set-up, count-in, counting, end. Holds the frames so that nothing is lost whatever fails. */
import { LAYOUT } from '../input/estimator.js';
import { CHECKS } from '../result/words.js';
import { StartWatch } from './start-watch.js';

/** Kept from before the start, so that the set has its quiet standing. */
const BEFORE_MS = 5000;
/** A set-up session forgets this often, so that waiting costs no memory. */
const FORGET_MS = 30_000;

/** @typedef {{ t_ms: number, points: Float32Array | null, crops: any[] | undefined }} Taken */

export class LiveSet {
  /**
   * @param {any} package_
   * @param {() => any} setup what a session takes, but for layout and image, as it is known now
   * @param {number} width
   * @param {number} height
   * @param {() => void} onOver the lifter has racked the bar or walked out
   */
  constructor(package_, setup, width, height, onOver) {
    this.make = () => {
      const session = new package_.Session({ layout: LAYOUT, image: { width, height }, ...setup() });
      session.addEventListener('set', () => { if (this.counting) onOver(); });
      return session;
    };
    this.session = this.make();
    this.counting = false;
    this.watch = new StartWatch();
    /** @type {Taken[]} */
    this.recent = [];
    this.since = NaN;
  }

  /**
   * @param {Taken} taken
   * @param {boolean} feet are in the picture
   * @returns {{ live: any, countIn: number, started: boolean }}
   */
  push(taken, feet) {
    const { t_ms } = taken;
    let live = this.session.push(t_ms, taken.points, taken.crops);
    if (this.counting) return { live, countIn: 1, started: false };
    this.recent.push(taken);
    while (this.recent[0].t_ms < t_ms - BEFORE_MS) this.recent.shift();
    if (Number.isNaN(this.since)) this.since = t_ms;
    const countIn = this.watch.ready(t_ms, feet, live);
    const moving = live.phase === 'down' || live.phase === 'bottom' || live.phase === 'up';
    if (countIn >= 1) {
      live = this.start();
      return { live, countIn, started: true };
    }
    if (t_ms - this.since > FORGET_MS && !moving && countIn === 0) this.restart();
    return { live, countIn, started: false };
  }

  /** Counting begins with the last seconds already in. */
  start() {
    const live = this.restart();
    this.counting = true;
    return live;
  }

  restart() {
    this.session.free();
    this.session = this.make();
    this.since = this.recent[0]?.t_ms ?? NaN;
    /** @type {any} */
    let live = { phase: 'searching', reps: 0, standing_known: false };
    for (const { t_ms, points, crops } of this.recent) live = this.session.push(t_ms, points, crops);
    return live;
  }

  /**
   * What can be judged from where the phone is: a check is seen when standing gives it a value.
   * @returns {Record<string, any>} true or false by check and side
   */
  sight() {
    const { series } = this.session.report({ series: true });
    const seen = (/** @type {(number | null)[]} */ values) => values.some((v) => v !== null);
    return Object.fromEntries(CHECKS.map(({ key, sided }) => [key, sided
      ? { left: seen(series[key].left), right: seen(series[key].right) }
      : seen(series[key])]));
  }

  free() {
    this.session.free();
  }
}
