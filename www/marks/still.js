// @ts-check
/** The first still second of a film, in which feet and shins can be marked. */
import { wholeCrop } from './whole-crop.js';

/** Small pictures are compared: so wide, px. */
const SMALL = 96;
/** Pictures this far apart are compared, ms; standing must last so long, ms; and a difference up to this is standing, grey levels. */
const APART_MS = 100;
const STILL_MS = 900;
const ALIKE = 2;
/** Further than this no still second is looked for, ms. */
const LATEST_MS = 20_000;

/**
 * @typedef {object} Still
 * @property {number} t_ms of the picture
 * @property {HTMLCanvasElement} picture a copy
 * @property {import('../pkg/index.js').GreyCrop[]} crops the picture and others of that second
 */

/**
 * @param {import('../input/video-file.js').VideoFrames} video
 * @param {AbortSignal} signal
 * @returns {Promise<Still | null>} null when the film has no picture, or when it was stopped
 */
export async function firstStill(video, signal) {
  const small = document.createElement('canvas');
  small.width = SMALL;
  small.height = Math.max(1, Math.round((SMALL * video.height) / video.width));
  const pen = /** @type {CanvasRenderingContext2D} */ (small.getContext('2d', { willReadFrequently: true }));
  /** @type {{ t_ms: number, grey: Uint8ClampedArray, crop: import('../pkg/index.js').GreyCrop }[]} */
  let since = [];
  /** @type {Still | null} */
  let first = null;
  for await (const { picture, t_ms } of video.frames()) {
    if (signal.aborted) return null;
    if (since.length && t_ms - since[since.length - 1].t_ms < APART_MS) continue;
    pen.drawImage(picture, 0, 0, small.width, small.height);
    const grey = pen.getImageData(0, 0, small.width, small.height).data;
    if (since.length && difference(since[0].grey, grey) > ALIKE) since = [];
    since.push({ t_ms, grey, crop: wholeCrop(picture) });
    first ??= { t_ms, picture: copyOf(picture), crops: [since[0].crop] };
    if (t_ms - since[0].t_ms >= STILL_MS) {
      // The last picture is the one that is shown; those before it show the same.
      return { t_ms, picture: copyOf(picture), crops: since.map(({ crop }) => crop).reverse() };
    }
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
