// @ts-check
/** Takes frames from the camera one at a time: while one is worked on the others are dropped, never queued. */

/** @typedef {{ estimator_ms: number, core_ms: number, taken: number, dropped: number }} Pace running means */

export class FrameLoop {
  /**
   * @param {HTMLVideoElement} video
   * @param {(t_ms: number) => Promise<{ estimator_ms: number, core_ms: number }>} work
   * @param {(error: unknown) => void} failed
   */
  constructor(video, work, failed) {
    this.video = video;
    this.work = work;
    this.failed = failed;
    this.stopped = false;
    this.busy = false;
    this.presented = 0;
    /** @type {Pace} */
    this.pace = { estimator_ms: 0, core_ms: 0, taken: 0, dropped: 0 };
    this.next();
  }

  next() {
    if (this.stopped) return;
    this.video.requestVideoFrameCallback((now, meta) => {
      this.next();
      if (this.presented) this.pace.dropped += Math.max(0, meta.presentedFrames - this.presented - 1);
      this.presented = meta.presentedFrames;
      if (this.busy) this.pace.dropped += 1;
      else this.take(meta.captureTime ?? now);
    });
  }

  /** @param {number} t_ms */
  async take(t_ms) {
    this.busy = true;
    try {
      const spent = await this.work(t_ms);
      const { pace } = this;
      pace.taken += 1;
      const share = Math.max(0.05, 1 / pace.taken);
      pace.estimator_ms += share * (spent.estimator_ms - pace.estimator_ms);
      pace.core_ms += share * (spent.core_ms - pace.core_ms);
    } catch (error) {
      if (!this.stopped) this.failed(error);
      this.stop();
    } finally {
      this.busy = false;
    }
  }

  stop() {
    this.stopped = true;
  }
}
