// @ts-check
/** One set being measured. Its frames are held here as well as in the worker: should that fail, the set is measured from them. */
import { analyze, openSession } from './measurer.js';

const OPTIONS = /** @type {const} */ (['thresholds', 'hurts', 'look_again_days']);

export class RunningSet {
  /** @param {any} setup @param {import('./measurer.js').AnySession} session */
  constructor(setup, session) {
    this.setup = setup;
    this.session = session;
    /** @type {{ t_ms: number, points: any }[]} */
    this.frames = [];
    /** How the feet were followed in each frame. @type {import('../figure/tracked-foot.js').Feet[]} */
    this.feet = [];
    /** Frames that were read anew since they were pushed, by their time. @type {Map<number, any>} */
    this.replaced = new Map();
  }

  /** @param {any} setup what a session takes */
  static async open(setup) {
    return new RunningSet(setup, await openSession(setup));
  }

  /**
   * @param {number} t_ms
   * @param {any} points
   * @param {any[]} [crops]
   * @returns {Promise<import('../pkg/index.js').Live>}
   */
  async push(t_ms, points, crops) {
    // Asked together: a worker answers both in one go.
    const [live, feet] = await Promise.all([this.session.push(t_ms, points, crops), this.session.feet()]);
    this.frames.push({ t_ms, points });
    this.feet.push(feet);
    return live;
  }

  /** A frame that was read anew takes the place of what was pushed. @param {{ t_ms: number, points?: any }} frame @param {import('../figure/tracked-foot.js').Feet} feet */
  replace(frame, feet) {
    this.replaced.set(frame.t_ms, frame);
    const i = this.frames.findIndex(({ t_ms }) => t_ms === frame.t_ms);
    if (i >= 0) this.feet[i] = feet;
  }

  /** @param {string} type @param {() => void} listener */
  on(type, listener) {
    this.session.addEventListener(type, listener);
  }

  /** @returns {Promise<{ recording: any, report: import('./types.js').Report }>} */
  async take() {
    try {
      if (this.replaced.size) return await this.takeReplaced();
      const [recording, report] = await Promise.all([this.session.recording(), this.session.report({ series: true })]);
      return { recording, report };
    } catch (cause) {
      if (!this.frames.length) throw cause;
      return this.analyzed(recordingOf(this.setup, this.frames));
    }
  }

  /** What was pushed, with the frames that were read anew. */
  async takeReplaced() {
    const recording = await this.session.recording();
    const frames = new Map(recording.frames.map((/** @type {any} */ frame) => [frame.t_ms, frame]));
    for (const [t_ms, frame] of this.replaced) frames.set(t_ms, frame);
    return this.analyzed({ ...recording, frames: [...frames.values()].sort((a, b) => a.t_ms - b.t_ms) });
  }

  /** @param {any} recording */
  async analyzed(recording) {
    const options = Object.fromEntries(OPTIONS.map((key) => [key, this.setup[key]]));
    return { recording, report: await analyze(recording, { series: true, ...options }) };
  }

  free() {
    Promise.resolve(this.session.free()).catch(() => {});
  }
}

/** @param {any} setup what a session took @param {{ t_ms: number, points: any }[]} frames */
export function recordingOf(setup, frames) {
  const of = { ...setup };
  for (const key of OPTIONS) delete of[key];
  return { ...of, frames: frames.map(({ t_ms, points }) => ({ t_ms, points: listed(points) })) };
}

/** Flat points as a recording's list. @param {any} points */
function listed(points) {
  if (!points || typeof points[0] !== 'number') return points ?? null;
  return Array.from({ length: points.length / 3 }, (_, i) => [points[3 * i], points[3 * i + 1], points[3 * i + 2]]);
}
