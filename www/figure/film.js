// @ts-check
/** The filmed video in place of the drawn figure: the same moment and the same part of the picture, with the feet as they were followed. */
import { el } from '../app/dom.js';
import { CloseUp } from './close-up.js';
import { drawFeet } from './tracked-foot.js';

/** Longest side of what is drawn over the video, px, and at most so many for one of the recording's. */
const DRAWN = 1080;
const FINEST = 2;

/**
 * @param {import('../app/types.js').Film} film
 * @param {{ width: number, height: number }} image the picture that the feet's points refer to
 * @param {(shown: boolean) => void} changed the reader chose between video and figure
 */
export function createFilm({ file, from_ms, feet = [] }, image, changed) {
  const url = URL.createObjectURL(file);
  const video = el('video', { src: url, playsinline: true, preload: 'auto', 'aria-label': 'The video at the moment set below' });
  video.muted = true;
  const over = el('canvas', { 'aria-hidden': 'true' });
  const scale = Math.min(FINEST, DRAWN / Math.max(image.width, image.height));
  over.width = Math.round(image.width * scale);
  over.height = Math.round(image.height * scale);
  const pen = /** @type {CanvasRenderingContext2D} */ (over.getContext('2d'));
  const root = el('div', { class: 'film' }, video, over);
  const near = new CloseUp();
  let shown = 0;
  let whole = true;
  const draw = () => {
    if (root.hidden) return;
    pen.clearRect(0, 0, over.width, over.height);
    drawFeet(pen, feet[shown], ([x, y]) => [x * scale, y * scale]);
    if (whole) near.draw(pen, video, video.videoWidth / image.width, feet[shown]);
  };
  // The close-up is cut from the picture that a seek brings.
  video.addEventListener('seeked', draw);
  const tick = el('input', {
    type: 'checkbox',
    checked: true,
    onchange: () => {
      root.hidden = !tick.checked;
      changed(tick.checked);
      draw();
    },
  });
  return {
    root,
    choice: el('label', { class: 'tick' }, tick, 'Show the video'),
    /** Lays the part of the picture that is shown over the whole frame. @param {import('./stage.js').Box} box px of the recording's picture @param {boolean} isWhole */
    cut(box, isWhole) {
      whole = isWhole;
      const part = image.width / box.width;
      root.style.transform = `translate(${(-100 * box.left) / box.width}%, ${(-100 * box.top * part) / image.height}%) scale(${part})`;
      draw();
    },
    /** @param {number} frame @param {number} t_ms @param {boolean} playing the video then runs by itself and is only set right when it drifts */
    at(frame, t_ms, playing) {
      shown = frame;
      const wanted = Math.max(0, t_ms - from_ms);
      const apart = Math.abs(video.currentTime * 1000 - wanted);
      if (apart > (playing ? 250 : 1)) video.currentTime = wanted / 1000;
      draw();
    },
    play: () => {
      video.play().catch(() => {});
    },
    pause: () => video.pause(),
    dispose() {
      video.pause();
      video.removeAttribute('src');
      URL.revokeObjectURL(url);
    },
  };
}
