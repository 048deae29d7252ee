// @ts-check
/** Every frame of a video file, in order, with its own time. */
import { Trouble } from '../app/trouble.js';
import { framesBySeeking } from './video-seek.js';

/** Longest side that is kept, px; the feet of a larger picture gain nothing. */
const MAX_SIDE = 1920;

/**
 * @typedef {object} VideoFrames
 * @property {number} width of the picture as it is given to the estimator, px
 * @property {number} height
 * @property {number} duration_s
 * @property {() => AsyncGenerator<{ picture: HTMLCanvasElement, t_ms: number }>} frames the same canvas each time
 */

/**
 * Reads the container and decodes with WebCodecs; where the browser can't, its own player is stepped instead.
 * @param {File} file
 * @returns {Promise<VideoFrames>}
 */
export async function openVideo(file) {
  if (file.size === 0) throw new Trouble('This video file is empty: choose it again, or copy it again from the phone.');
  if ('VideoDecoder' in globalThis) {
    const decoded = await openWithCodecs(file);
    if (decoded) return decoded;
  }
  return framesBySeeking(file, MAX_SIDE);
}

/** @param {File} file @returns {Promise<VideoFrames | null>} null when this way can't read it */
async function openWithCodecs(file) {
  const { ALL_FORMATS, BlobSource, Input, VideoSampleSink } = await import('../vendor/mediabunny/mediabunny.js');
  try {
    const input = new Input({ source: new BlobSource(file), formats: ALL_FORMATS });
    const track = await input.getPrimaryVideoTrack();
    if (!track || !(await track.canDecode())) return null;
    const { width, height } = fit(await track.getDisplayWidth(), await track.getDisplayHeight(), MAX_SIDE);
    const duration_s = await track.computeDuration();
    const canvas = document.createElement('canvas');
    canvas.width = width;
    canvas.height = height;
    const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d', { willReadFrequently: true }));
    const frames = async function* () {
      for await (const sample of new VideoSampleSink(track).samples()) {
        const t_ms = sample.timestamp * 1000;
        sample.draw(pen, 0, 0, width, height);
        sample.close();
        yield { picture: canvas, t_ms };
      }
    };
    return { width, height, duration_s, frames };
  } catch {
    return null;
  }
}

/** @param {number} width @param {number} height @param {number} most */
export function fit(width, height, most) {
  const scale = Math.min(1, most / Math.max(width, height));
  return { width: Math.round(width * scale), height: Math.round(height * scale) };
}
