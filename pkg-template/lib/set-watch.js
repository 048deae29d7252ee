// Says when a set is over: after a repetition, the lifter has been away from standing and lifting for a while; and since when it runs.

/** How long the lifter must have walked, or been out of the picture, ms. Common practice, no source. */
const AWAY_MS = 3000;

export class SetWatch {
  #awaySince = null;
  #repsTold = 0;
  #reps = 0;

  /** When the set before this one was over, ms; null in the first. */
  since = null;
  /** When this one was, ms; null while it runs. */
  ended = null;
  /** The last frame, ms; null before the first. */
  now = null;

  /** True for the one frame with which a set is over. */
  push(t_ms, { phase, reps }, nobody) {
    this.#reps = reps;
    this.now = t_ms;
    // Whoever lifts again has begun another set.
    if (reps > this.#repsTold) this.#next();
    if (phase !== 'searching' && !nobody) {
      this.#awaySince = null;
      return false;
    }
    this.#awaySince ??= t_ms;
    if (reps === this.#repsTold || t_ms - this.#awaySince < AWAY_MS) return false;
    this.finished();
    return true;
  }

  /** The set that runs now is over; where its beginning was not noticed, it began when the last one was over. */
  finished() {
    this.#next();
    this.#repsTold = this.#reps;
    this.ended = this.now;
  }

  #next() {
    this.since = this.ended ?? this.since;
    this.ended = null;
  }
}
