// @ts-check
/** The frames of a video through the browser's own player, for browsers without WebCodecs. */
import { Trouble } from '../app/trouble.js';
import { fit } from './video-file.js';

/** Shortest frame that is looked for: 120 frames a second. */
const STEP_S = 1 / 240;
/** How long a seek may take before the file counts as broken. */
const PATIENCE_MS = 10_000;
/** After a seek without a new frame for this long, it is the same frame still. */
const SAME_FRAME_MS = 120;

/**
 * @param {File} file
 * @param {number} most longest side, px
 * @returns {Promise<import('./video-file.js').VideoFrames>}
 */
export async function framesBySeeking(file, most) {
  const video = document.createElement('video');
  video.muted = true;
  video.playsInline = true;
  video.preload = 'auto';
  const url = URL.createObjectURL(file);
  try {
    await new Promise((resolve, reject) => {
      video.addEventListener('loadeddata', resolve, { once: true });
      video.addEventListener('error', reject, { once: true });
      video.src = url;
    });
  } catch (cause) {
    URL.revokeObjectURL(url);
    throw new Trouble('This browser can’t decode the video: save it as MP4 (H.264) or WebM, or open it in another browser.', { cause });
  }
  if (!video.videoWidth) {
    URL.revokeObjectURL(url);
    throw new Trouble('This file has no picture in it: choose a video of the set.');
  }
  const { width, height } = fit(video.videoWidth, video.videoHeight, most);
  const canvas = document.createElement('canvas');
  canvas.width = width;
  canvas.height = height;
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d', { willReadFrequently: true }));
  const frames = async function* () {
    try {
      let last = -1;
      let gap = 1 / 60;
      for (let t = 0; t < video.duration;) {
        const shown = await seek(video, t);
        if (shown <= last) {
          t += STEP_S;
          continue;
        }
        // Too far for one frame: something lies between.
        if (last >= 0 && shown - last > 1.6 * gap && t - last > 2 * STEP_S) {
          gap = (shown - last) / 1.6;
          t = last + (t - last) / 2;
          continue;
        }
        if (last >= 0) gap = shown - last;
        last = shown;
        pen.drawImage(video, 0, 0, width, height);
        yield { picture: canvas, t_ms: shown * 1000 };
        t = shown + gap * 0.9;
      }
    } finally {
      video.removeAttribute('src');
      video.load();
      URL.revokeObjectURL(url);
    }
  };
  return { width, height, duration_s: video.duration, frames };
}

/** Seeks and answers the time of the frame that is then shown. @param {HTMLVideoElement} video @param {number} t @returns {Promise<number>} */
function seek(video, t) {
  return new Promise((resolve, reject) => {
    const late = setTimeout(
      () => reject(new Trouble('The video stopped answering: what was read so far is saved; save it as MP4 (H.264) and try again.')),
      PATIENCE_MS,
    );
    const done = (/** @type {number} */ at) => {
      clearTimeout(late);
      resolve(at);
    };
    // The callback tells the frame's own time; a frame that is shown already gives no callback.
    const wait = typeof video.requestVideoFrameCallback === 'function' ? SAME_FRAME_MS : 0;
    video.addEventListener(
      'seeked',
      () => {
        setTimeout(() => done(wait ? -1 : video.currentTime), wait);
      },
      { once: true },
    );
    if (wait) video.requestVideoFrameCallback((_, meta) => done(meta.mediaTime));
    video.currentTime = t;
  });
}
