// @ts-check
/** The first still second of a film, or of a camera, in which feet and shins can be marked. */
import { wholeCrop } from './whole-crop.js';

/** Small pictures are compared: so wide, px. */
const SMALL = 96;
/** Pictures this far apart are compared, ms; standing must last so long, ms; and a difference up to this is standing, grey levels. */
const APART_MS = 100;
export const STILL_MS = 900;
const ALIKE = 2;
/** Further than this no still second is looked for, ms. */
const LATEST_MS = 20_000;

/**
 * @typedef {object} Still
 * @property {number} t_ms of the picture
 * @property {HTMLCanvasElement} picture a copy
 * @property {import('../pkg/index.js').GreyCrop[]} crops the picture and others of that stretch, the last first
 */

/** Watches pictures for a stretch in which nothing moves. */
export class StillWatch {
  /** @param {number} width of the pictures @param {number} height */
  constructor(width, height) {
    const small = document.createElement('canvas');
    [small.width, small.height] = [SMALL, Math.max(1, Math.round((SMALL * height) / width))];
    this.small = /** @type {CanvasRenderingContext2D} */ (small.getContext('2d', { willReadFrequently: true }));
    /** @type {{ t_ms: number, grey: Uint8ClampedArray, crop: import('../pkg/index.js').GreyCrop }[]} */
    this.since = [];
  }

  /** @param {HTMLCanvasElement} picture @param {number} t_ms @returns {number} for how long nothing has moved, ms */
  push(picture, t_ms) {
    const { since, small } = this;
    const last = since[since.length - 1];
    if (last && t_ms - last.t_ms < APART_MS) return last.t_ms - since[0].t_ms;
    const { width, height } = small.canvas;
    small.drawImage(picture, 0, 0, width, height);
    const grey = small.getImageData(0, 0, width, height).data;
    if (last && difference(since[0].grey, grey) > ALIKE) since.length = 0;
    since.push({ t_ms, grey, crop: wholeCrop(picture) });
    return t_ms - since[0].t_ms;
  }

  /** What was seen of the last `ms` of the stretch; `picture` is the one that was pushed last. @param {HTMLCanvasElement} picture @param {number} t_ms @param {number} ms @returns {Still} */
  still(picture, t_ms, ms) {
    const crops = this.since.filter((one) => t_ms - one.t_ms <= ms).map(({ crop }) => crop);
    return { t_ms, picture: copyOf(picture), crops: crops.reverse() };
  }
}

/**
 * @param {import('../input/video-file.js').VideoFrames} video
 * @param {AbortSignal} signal
 * @returns {Promise<Still | null>} null when the film has no picture, or when it was stopped
 */
export async function firstStill(video, signal) {
  const watch = new StillWatch(video.width, video.height);
  /** @type {Still | null} */
  let first = null;
  for await (const { picture, t_ms } of video.frames()) {
    if (signal.aborted) return null;
    const still_ms = watch.push(picture, t_ms);
    first ??= watch.still(picture, t_ms, 0);
    // The last picture is the one that is shown; those before it show the same.
    if (still_ms >= STILL_MS) return watch.still(picture, watch.since[watch.since.length - 1].t_ms, Infinity);
    if (t_ms > LATEST_MS) break;
  }
  return first;
}

/** @param {HTMLCanvasElement} picture */
export function copyOf(picture) {
  const copy = document.createElement('canvas');
  copy.width = picture.width;
  copy.height = picture.height;
  copy.getContext('2d')?.drawImage(picture, 0, 0);
  return copy;
}

/** Mean difference of two pictures, grey levels. @param {Uint8ClampedArray} a @param {Uint8ClampedArray} b */
function difference(a, b) {
  let sum = 0;
  for (let i = 1; i < a.length; i += 4) sum += Math.abs(a[i] - b[i]);
  return sum / (a.length / 4);
}
