// @ts-check
/** Decides when a set starts and ends from the live state alone; told the time, knows no camera. */

/** Still for this long before counting starts. */
const STILL_MS = 1500;
/** Gone or walking for this long after a repetition ends the set. */
const AWAY_MS = 4000;

export class SetWatch {
  constructor() {
    this.stillFrom = NaN;
    this.awayFrom = NaN;
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

  /**
   * @param {number} t_ms
   * @param {boolean} somebody in the picture
   * @param {{ phase: string, reps: number }} live
   * @returns {boolean} the lifter has racked the bar or walked out
   */
  over(t_ms, somebody, live) {
    const away = live.reps > 0 && (!somebody || live.phase === 'searching');
    if (!away) this.awayFrom = NaN;
    else if (Number.isNaN(this.awayFrom)) this.awayFrom = t_ms;
    return t_ms - this.awayFrom >= AWAY_MS;
  }
}
