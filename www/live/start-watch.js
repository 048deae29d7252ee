// @ts-check
/** Decides when counting starts, from the live state alone; told the time, knows no camera. */

/** Still for this long before counting starts. */
const STILL_MS = 1500;

export class StartWatch {
  constructor() {
    this.stillFrom = NaN;
  }

  /**
   * @param {number} t_ms
   * @param {boolean} seen feet are in the picture
   * @param {{ phase: string, standing_known: boolean }} live
   * @returns {number} share of the count-in, 1 when counting may start
   */
  ready(t_ms, seen, live) {
    if (!seen || live.phase !== 'standing' || !live.standing_known) this.stillFrom = NaN;
    else if (Number.isNaN(this.stillFrom)) this.stillFrom = t_ms;
    return Number.isNaN(this.stillFrom) ? 0 : Math.min(1, (t_ms - this.stillFrom) / STILL_MS);
  }
}
