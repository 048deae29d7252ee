// @ts-check
/** Films the pictures that are measured, with the times that they were measured at. Held in memory; kept only if the lifter says so. */

/** Longest side of the film, px. */
const SIDE = 960;
/** A frame that can be gone to directly, at least every so many seconds: for the scrubber. */
const KEY_S = 0.5;
const CODECS = /** @type {const} */ (['avc', 'vp9', 'vp8']);

export class FilmMaker {
  /** @param {any} output @param {any} source @param {HTMLCanvasElement} canvas @param {string} type */
  constructor(output, source, canvas, type) {
    this.output = output;
    this.source = source;
    this.canvas = canvas;
    this.type = type;
    this.pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
    this.from = NaN;
    this.busy = false;
  }

  /**
   * @param {number} width of the picture
   * @param {number} height
   * @returns {Promise<FilmMaker | null>} null where the browser can't encode
   */
  static async start(width, height) {
    if (!('VideoEncoder' in globalThis)) return null;
    const { BufferTarget, CanvasSource, Mp4OutputFormat, Output, Quality, WebMOutputFormat, getFirstEncodableVideoCodec } =
      await import('../vendor/mediabunny/mediabunny.js');
    const scale = Math.min(1, SIDE / Math.max(width, height));
    const canvas = document.createElement('canvas');
    // Encoders want even sides.
    [canvas.width, canvas.height] = [width, height].map((side) => 2 * Math.round((side * scale) / 2));
    const codec = await getFirstEncodableVideoCodec([...CODECS], { width: canvas.width, height: canvas.height });
    if (!codec) return null;
    const format = codec === 'avc' ? new Mp4OutputFormat() : new WebMOutputFormat();
    const output = new Output({ format, target: new BufferTarget() });
    const source = new CanvasSource(canvas, { codec, quality: new Quality('medium'), keyFrameInterval: KEY_S });
    output.addVideoTrack(source);
    await output.start();
    return new FilmMaker(output, source, canvas, format.mimeType);
  }

  /** Takes a picture unless the encoder is still at the one before: the set does not wait for its film. @param {CanvasImageSource} picture @param {number} t_ms */
  add(picture, t_ms) {
    if (this.busy) return;
    if (Number.isNaN(this.from)) this.from = t_ms;
    this.busy = true;
    this.pen.drawImage(picture, 0, 0, this.canvas.width, this.canvas.height);
    this.source
      .add((t_ms - this.from) / 1000, 1 / 30)
      .catch(() => {})
      .finally(() => {
        this.busy = false;
      });
  }

  /** @returns {Promise<import('../app/types.js').Film | undefined>} undefined when nothing could be filmed */
  async finish() {
    try {
      await this.output.finalize();
      const { buffer } = this.output.target;
      return buffer && !Number.isNaN(this.from) ? { file: new Blob([buffer], { type: this.type }), from_ms: this.from } : undefined;
    } catch {
      return undefined;
    }
  }

  cancel() {
    this.output.cancel().catch(() => {});
  }
}
