// @ts-check
/** A joint that was shown in the middle of a film: from there it is followed on, and back to where it was lost. */
import { RunningSet } from '../app/running-set.js';

/** @typedef {import('./joints.js').Joints} Joints */
/** @typedef {import('../pkg/index.js').GreyCrop} GreyCrop */
/** @typedef {{ t_ms: number, crop: GreyCrop, seen: Record<string, [number, number] | null> | null }} Past */

/** So many pictures are held to go back through: a slow squat of 30 frames a second, 110 MB of 1280 x 720 at most. Common practice, no source. */
const HELD = 120;
/** Followed from both sides a joint is where it was when its two places are so near, of the picture's longer side, in so many frames in a row. */
const NEAR = 0.006;
const SAME = 5;

export class BothWays {
  /** @param {RunningSet} set @param {import('./still.js').Still} still the picture that was marked first @param {Joints} joints */
  constructor(set, still, joints) {
    this.set = set;
    this.still = still;
    this.joints = joints;
    /** @type {Past[]} */
    this.past = [];
  }

  /** Holds what a frame showed. @param {Past} frame */
  keep(frame) {
    this.past.push(frame);
    if (this.past.length > HELD) this.past.shift();
  }

  /**
   * Goes on from marks in a frame that comes next, and back from it through the frames that are held.
   * @param {number} t_ms @param {Joints} joints @param {GreyCrop} crop
   * @returns {Promise<number>} how many of the frames before were set right
   */
  async right(t_ms, joints, crop) {
    await this.set.session.mark(t_ms, joints, [crop]);
    const { set } = this;
    // Backward in time is forward in another set, which learns the same of standing.
    const back = await RunningSet.open(set.setup);
    try {
      await back.session.mark(this.still.t_ms, this.joints, this.still.crops);
      await back.session.mark(t_ms, joints, [crop]);
      const { width, height } = set.setup.image;
      /** The frames that showed something else before, by the time that each has here. @type {Map<number, number>} */
      const other = new Map();
      let same = 0;
      for (const frame of this.past.slice().reverse()) {
        const there = 2 * t_ms - frame.t_ms;
        const [, seen] = await Promise.all([back.push(there, null, [frame.crop]), back.session.followed()]);
        same = alike(seen, frame.seen, NEAR * Math.max(width, height)) ? same + 1 : 0;
        if (!same) other.set(there, frame.t_ms);
        frame.seen = seen;
        // What was lost lies behind; where nothing was yet, it may lie further back.
        if (other.size && same >= SAME) break;
      }
      const { frames } = await back.session.recording();
      for (const [i, frame] of frames.entries()) {
        const was = other.get(frame.t_ms);
        if (was !== undefined) set.replace({ ...frame, t_ms: was }, back.feet[i]);
      }
      return other.size;
    } finally {
      back.free();
    }
  }
}

/** @param {Past['seen']} a @param {Past['seen']} b @param {number} near px */
function alike(a, b, near) {
  if (!a || !b) return false;
  return Object.entries(a).every(([joint, at]) => {
    const other = b[joint];
    return at && other ? Math.hypot(at[0] - other[0], at[1] - other[1]) < near : !at && !other;
  });
}
