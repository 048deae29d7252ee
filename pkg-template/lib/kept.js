// Every frame pushed so far, for the recording: numbers one after the other, so that a frame costs no object of its own.

export class KeptFrames {
  #numbers = new Float64Array(0);
  #times = [];
  #ends = [];

  add(t_ms, flat) {
    const start = this.#ends.at(-1) ?? 0;
    const end = start + flat.length;
    if (end > this.#numbers.length) {
      const larger = new Float64Array(Math.max(2 * this.#numbers.length, end, 4096));
      larger.set(this.#numbers);
      this.#numbers = larger;
    }
    if (flat.length) this.#numbers.set(flat, start);
    this.#times.push(t_ms);
    this.#ends.push(end);
  }

  /** The frames as `form(t_ms, flat)` makes them. */
  map(form) {
    return this.#times.map((t_ms, i) => form(t_ms, this.#numbers.subarray(this.#ends[i - 1] ?? 0, this.#ends[i])));
  }
}
