// Says when a set is over: after a repetition, the lifter has been away from standing and lifting for a while; and since when it runs.

/** How long the lifter must have walked, or been out of the picture, ms. Common practice, no source. */
const AWAY_MS = 3000;

export class SetWatch {
  #awaySince = null;
  #repsTold = 0;
  #reps = 0;
  #now = null;
  #ended = null;

  /** When the set before this one was over, ms; null in the first. */
  since = null;

  /** True for the one frame with which a set is over. */
  push(t_ms, { phase, reps }, nobody) {
    this.#reps = reps;
    this.#now = t_ms;
    // Whoever lifts again has begun another set.
    if (reps > this.#repsTold && this.#ended !== null) {
      this.since = this.#ended;
      this.#ended = null;
    }
    if (phase !== 'searching' && !nobody) {
      this.#awaySince = null;
      return false;
    }
    this.#awaySince ??= t_ms;
    if (reps === this.#repsTold || t_ms - this.#awaySince < AWAY_MS) return false;
    this.told();
    return true;
  }

  /** The end of this set was told. */
  told() {
    this.#repsTold = this.#reps;
    this.#ended = this.#now;
  }
}
