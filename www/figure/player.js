// @ts-check
/** Plays a recording: figure, scrubber, marks for the repetitions. */
import { el } from '../app/dom.js';
import { createFilm } from './film.js';
import { Stage } from './stage.js';

/**
 * @typedef {object} Player
 * @property {HTMLElement} root
 * @property {(t_ms: number) => void} seek
 * @property {() => void} play
 * @property {() => void} stop
 * @property {() => void} dispose
 */

/**
 * @param {any} recording
 * @param {Record<string, number>} index joint index of its layout
 * @param {{ reps?: any[], onFrame?: (frame: number) => void, onEnd?: () => void, film?: import('../app/types.js').Film }} [options] film: the video that the recording was read from
 * @returns {Player}
 */
export function createPlayer(recording, index, options = {}) {
  const frames = recording.frames;
  const times = frames.map((/** @type {any} */ f) => f.t_ms);
  const canvas = el('canvas', { role: 'img', 'aria-label': 'The lifter drawn from the keypoints, at the moment set below' });
  const stage = new Stage(canvas, recording, index);
  const slider = el('input', { type: 'range', min: 0, max: frames.length - 1, value: 0, step: 1, class: 'scrub', 'aria-label': 'Moment in the set' });
  const clock = el('output', { class: 'figures clock' });
  const button = el('button', { type: 'button', class: 'play' }, 'Play');
  const film = options.film ? createFilm(options.film, recording.image, canvas) : null;
  let at = 0;
  let playing = 0;
  let from = { t: 0, now: 0 };

  /** @param {number} frame */
  const showFrame = (frame) => {
    at = frame;
    stage.draw(frame);
    film?.at(frame, times[frame], playing !== 0);
    slider.value = String(frame);
    const text = `${((times[frame] - times[0]) / 1000).toFixed(1)} s`;
    clock.textContent = text;
    slider.setAttribute('aria-valuetext', text);
    options.onFrame?.(frame);
  };
  const stop = () => {
    cancelAnimationFrame(playing);
    playing = 0;
    film?.pause();
    button.textContent = 'Play';
  };
  const step = (/** @type {number} */ now) => {
    const t = from.t + now - from.now;
    let next = at;
    while (next + 1 < times.length && times[next + 1] <= t) next += 1;
    if (next !== at) showFrame(next);
    if (next >= times.length - 1) {
      stop();
      options.onEnd?.();
    } else playing = requestAnimationFrame(step);
  };
  const play = () => {
    if (at >= times.length - 1) showFrame(0);
    from = { t: times[at], now: performance.now() };
    button.textContent = 'Pause';
    cancelAnimationFrame(playing);
    playing = requestAnimationFrame(step);
    film?.play();
  };
  button.addEventListener('click', () => (playing ? stop() : play()));
  slider.addEventListener('input', () => { stop(); showFrame(Number(slider.value)); });
  const redraw = () => stage.draw();
  document.addEventListener('theme', redraw);

  const seek = (/** @type {number} */ t_ms) => { stop(); showFrame(nearest(times, t_ms)); };
  const marks = (options.reps ?? []).map((rep) => el('button', { type: 'button', class: 'mark-rep', onclick: () => seek(rep.bottom_ms), 'aria-label': `To the bottom of repetition ${rep.index}` }, String(rep.index)));
  const root = el('div', { class: 'player' },
    el('div', { class: 'frame' }, canvas, film?.root),
    el('div', { class: 'transport' }, button, slider, clock),
    film?.choice,
    marks.length ? el('div', { class: 'marks' }, el('span', { class: 'note-label' }, 'Bottom of'), ...marks) : null);
  showFrame(0);
  return { root, seek, play, stop, dispose: () => { stop(); film?.dispose(); document.removeEventListener('theme', redraw); } };
}

/** Index of the frame nearest in time. @param {number[]} times rising @param {number} t */
export function nearest(times, t) {
  let [low, high] = [0, times.length - 1];
  while (high - low > 1) {
    const mid = (low + high) >> 1;
    if (times[mid] <= t) low = mid;
    else high = mid;
  }
  return times.length && Math.abs(times[high] - t) < Math.abs(times[low] - t) ? high : low;
}
