// @ts-check
/** One set in progress: push frames, listen for repetitions, take the report. */
import { UnderfootError, guarded } from './errors.js';
import { loaded } from './module.js';
import { flatten, frame } from './points.js';

const PHASES = /** @type {const} */ (['searching', 'standing', 'down', 'bottom', 'up']);

export class Session extends EventTarget {
  /** @type {any} */
  #raw;
  /** @type {{ t_ms: number, flat: Float32Array }[]} */
  #frames = [];
  #setup;
  #count;
  /** @type {any} */
  #seen = null;
  /** @type {any} */
  #live = { phase: 'searching', reps: 0, standing_known: false, can_see: null, azimuth_deg: null, finished: null };

  /** @param {any} options the recording's fields but its frames, and `hurts`, `thresholds` */
  constructor(options) {
    super();
    const { RawSession } = loaded();
    const { hurts, thresholds, ...setup } = options ?? {};
    this.#setup = structuredClone(setup);
    this.#raw = guarded(() => new RawSession(setup, { hurts, thresholds }));
    this.#count = this.#raw.count;
  }

  get #open() {
    if (!this.#raw) throw new UnderfootError('freed', 'this session was freed: make a new one');
    return this.#raw;
  }

  /** The state after the last frame. */
  get live() {
    return this.#live;
  }

  /**
   * @param {number} t_ms
   * @param {any} points
   * @param {any} [grey]
   */
  push(t_ms, points, grey) {
    const raw = this.#open;
    const flat = flatten(points, this.#count);
    guarded(() => raw.push(t_ms, flat, grey));
    this.#frames.push({ t_ms, flat: flat === points ? flat.slice() : flat });
    const known = raw.standingKnown;
    if (known && (!this.#seen || raw.finished)) this.#seen = raw.seen();
    const finished = raw.finished ? this.report().reps[raw.finished - 1] ?? null : null;
    this.#live = {
      phase: PHASES[raw.phase],
      reps: raw.reps,
      standing_known: known,
      can_see: this.#seen,
      azimuth_deg: this.#seen?.view.azimuth_deg ?? null,
      finished,
    };
    if (finished) this.dispatchEvent(new CustomEvent('rep', { detail: finished }));
    return this.#live;
  }

  /** @param {{ series?: boolean }} [options] */
  report(options) {
    const raw = this.#open;
    return guarded(() => raw.report(options?.series === true));
  }

  /** Says that the set is over: gives the report and tells the listeners of `set`. @param {{ series?: boolean }} [options] */
  finish(options) {
    const report = this.report(options);
    this.dispatchEvent(new CustomEvent('set', { detail: report }));
    return report;
  }

  /** Everything pushed so far, in the contract's form; `analyze` gives the same report for it. */
  recording() {
    const frames = this.#frames.map(({ t_ms, flat }) => frame(t_ms, flat, this.#count));
    return { ...structuredClone(this.#setup), frames };
  }

  /** Forgets every frame; the set-up stays. */
  reset() {
    this.#open.reset();
    this.#frames = [];
    this.#seen = null;
    this.#live = { phase: 'searching', reps: 0, standing_known: false, can_see: null, azimuth_deg: null, finished: null };
  }

  /** Gives the module's memory back. Safe to call twice. */
  free() {
    this.#raw?.free();
    this.#raw = null;
  }
}

if (typeof Symbol.dispose === 'symbol') {
  Object.defineProperty(Session.prototype, Symbol.dispose, { value: Session.prototype.free, configurable: true, writable: true });
}
