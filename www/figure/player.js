// @ts-check
/** Plays a recording: figure or video, scrubber, marks for the repetitions, and what was found drawn on it. */
import { el } from '../app/dom.js';
import { createFilm } from './film.js';
import { Stage } from './stage.js';

/** @typedef {{ index: number, start_ms: number, bottom_ms: number, end_ms: number }} Rep */

/**
 * @typedef {object} Player
 * @property {HTMLElement} root
 * @property {(t_ms: number) => void} seek
 * @property {() => void} play
 * @property {() => void} stop
 * @property {() => void} dispose
 */

/** Shown before and after a repetition that is played, ms. */
const AROUND_MS = 300;

/**
 * @param {any} recording
 * @param {Record<string, number>} index joint index of its layout
 * @param {{ reps?: Rep[], worst?: Rep, low?: boolean, onFrame?: (frame: number) => void, onEnd?: () => void, film?: import('../app/types.js').Film,
 *   over?: (pen: CanvasRenderingContext2D, place: (p: [number, number]) => [number, number], frame: number) => void }} [options] film: the video that the
 *   recording was read from; worst: the repetition to play first; low: begins with knees and feet only; over: draws on the picture
 * @returns {Player}
 */
export function createPlayer(recording, index, options = {}) {
  const frames = recording.frames;
  const times = frames.map((/** @type {any} */ f) => f.t_ms);
  const reps = options.reps ?? [];
  const canvas = el('canvas', { role: 'img', 'aria-label': 'The lifter drawn from the tracked points, at the moment set below' });
  const stage = new Stage(canvas, recording, index, reps);
  const marks = el('canvas', { class: 'marks-over', 'aria-hidden': 'true' });
  const pen = /** @type {CanvasRenderingContext2D} */ (marks.getContext('2d'));
  const slider = el('input', { type: 'range', min: 0, max: frames.length - 1, value: 0, step: 1, class: 'scrub', 'aria-label': 'Moment in the set' });
  const clock = el('output', { class: 'figures clock' });
  const button = el('button', { type: 'button', class: options.worst ? 'plain play' : 'play' });
  const one = options.worst ? el('button', { type: 'button', class: 'play-rep' }, `Play rep ${options.worst.index}`) : null;
  const film = options.film
    ? createFilm(options.film, recording.image, (shown) => {
        stage.figure = !shown;
        showFrame(at);
      })
    : null;
  stage.figure = !film;
  let at = 0;
  let playing = 0;
  let until = Infinity;
  let rest = NaN;
  let from = { t: 0, now: 0 };
  const all = options.worst ? 'Play the set' : 'Play';

  /** @param {number} frame */
  const showFrame = (frame) => {
    at = frame;
    stage.draw(frame);
    film?.at(frame, times[frame], playing !== 0);
    pen.clearRect(0, 0, marks.width, marks.height);
    options.over?.(pen, (p) => stage.place(p), frame);
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
    button.textContent = all;
  };
  const step = (/** @type {number} */ now) => {
    const t = from.t + now - from.now;
    let next = at;
    while (next + 1 < times.length && times[next + 1] <= t) next += 1;
    if (next !== at) showFrame(next);
    if (next >= times.length - 1 || times[next] >= until) {
      stop();
      // Back at the moment that it is about.
      if (Number.isFinite(rest)) seek(rest);
      options.onEnd?.();
    } else playing = requestAnimationFrame(step);
  };
  const run = () => {
    from = { t: times[at], now: performance.now() };
    button.textContent = 'Pause';
    cancelAnimationFrame(playing);
    playing = requestAnimationFrame(step);
    film?.play();
  };
  const play = () => {
    [until, rest] = [Infinity, NaN];
    if (at >= times.length - 1) showFrame(0);
    run();
  };
  button.addEventListener('click', () => (playing ? stop() : play()));
  one?.addEventListener('click', () => {
    const { start_ms, end_ms } = /** @type {Rep} */ (options.worst);
    const shown = start_ms < times[at] && times[at] < end_ms && !playing ? times[at] : rest;
    showFrame(nearest(times, start_ms - AROUND_MS));
    [until, rest] = [end_ms + AROUND_MS, shown];
    run();
  });
  slider.addEventListener('input', () => {
    stop();
    showFrame(Number(slider.value));
  });
  const redraw = () => showFrame(at);
  document.addEventListener('theme', redraw);

  const seek = (/** @type {number} */ t_ms) => {
    stop();
    showFrame(nearest(times, t_ms));
  };
  const cut = (/** @type {boolean} */ low) => {
    stage.cut(low);
    [marks.width, marks.height] = [canvas.width, canvas.height];
    film?.cut(stage.box, !low);
    showFrame(at);
  };
  const canCut = stage.low !== stage.whole && reps.length > 0;
  const near = canCut
    ? el(
        'label',
        { class: 'tick' },
        el('input', { type: 'checkbox', checked: options.low ?? false, onchange: (/** @type {any} */ event) => cut(event.target.checked) }),
        'Knees and feet only',
      )
    : null;
  const bottoms = reps.map((rep) =>
    el(
      'button',
      { type: 'button', class: 'mark-rep', onclick: () => seek(rep.bottom_ms), 'aria-label': `Go to the bottom of rep ${rep.index}` },
      String(rep.index),
    ),
  );
  const root = el(
    'div',
    { class: 'player' },
    el('div', { class: 'frame' }, canvas, film?.root, marks),
    el('div', { class: 'transport' }, one, button, slider, clock),
    near || film ? el('div', { class: 'sights' }, near, film?.choice) : null,
    bottoms.length ? el('div', { class: 'marks' }, el('span', { class: 'note-label' }, 'Bottom of rep'), ...bottoms) : null,
  );
  button.textContent = all;
  cut(canCut && (options.low ?? false));
  return {
    root,
    seek,
    play,
    stop,
    dispose: () => {
      stop();
      film?.dispose();
      document.removeEventListener('theme', redraw);
    },
  };
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
