// Says when a set is over: after a repetition, the lifter has been away from standing and lifting for a while.

/** How long the lifter must have walked, or been out of the picture, ms. Common practice, no source. */
const AWAY_MS = 3000;

export class SetWatch {
  #awaySince = null;
  #repsBefore = 0;

  /** True for the one frame with which a set is over. */
  push(t_ms, { phase, reps }, nobody) {
    if (phase !== 'searching' && !nobody) {
      this.#awaySince = null;
      return false;
    }
    this.#awaySince ??= t_ms;
    if (reps === this.#repsBefore || t_ms - this.#awaySince < AWAY_MS) return false;
    this.#repsBefore = reps;
    return true;
  }
}
