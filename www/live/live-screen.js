// @ts-check
/** The camera's screen: first the set-up, then nothing but the count. */
import { $, art, el } from '../app/dom.js';
import { filmLikeThis } from '../app/film-like-this.js';
import { recall, remember } from '../app/memory.js';
import { SIZES } from './camera-stream.js';

/** @typedef {import('./setup-guide.js').Line} Line */
/** @type {Record<Line['word'], [string, string]>} mark and word by state */
const MARKS = { yes: ['s-yes', 'yes'], no: ['s-no', 'no'], wait: ['s-wait', 'not yet'] };
/** @type {Record<string, string>} */
const PHASES = { searching: 'stand still', standing: 'ready', down: 'down', bottom: 'bottom', up: 'up' };

const SET_UP = 'Before the set';
/** Marks of the count-in, one a tone. */
export const BEATS = 3;

/** @param {string} label @param {string} name @param {[string, string][]} options @param {string} now @param {(value: string) => void} changed */
function pick(label, name, options, now, changed) {
  return el(
    'label',
    {},
    label,
    el(
      'select',
      { name, onchange: (/** @type {any} */ e) => changed(e.target.value) },
      ...options.map(([value, text]) => el('option', { value, selected: value === now }, text)),
    ),
  );
}

/** @param {string} label @param {string} key @param {boolean} now */
function tick(label, key, now) {
  return el(
    'label',
    { class: 'tick' },
    el('input', { type: 'checkbox', checked: now, onchange: (/** @type {any} */ e) => remember(key, e.target.checked) }),
    label,
  );
}

/** Shows lines, and leaves the list alone while they are the same. @param {HTMLElement} list @param {Line[]} lines */
function fill(list, lines) {
  const key = JSON.stringify(lines);
  if (list.dataset.key === key) return;
  list.dataset.key = key;
  list.replaceChildren(
    ...lines.map(({ word, text }) =>
      el('li', { class: word }, art(MARKS[word][0]), el('span', { class: 'visually-hidden' }, `${MARKS[word][1]}: `), el('span', {}, text)),
    ),
  );
}

/**
 * @param {{ facing: string, size: string, onCamera: (facing: string, size: string) => void, onEnd: () => void, onStart: () => void, onMarks?: () => void, asked?: string }} options onMarks: feet and shins alone are to be filmed; asked: what the coach wants of this set
 */
export function buildLive(options) {
  const video = el('video', { playsinline: true, muted: true, 'aria-label': 'What the camera sees' });
  video.muted = true;
  const overlay = el('canvas', { class: 'over', 'aria-hidden': 'true' });
  const said = el('p', { class: 'set-up-said', role: 'status' }, 'Loading…');
  const bar = el('progress', { max: 1, value: 0, 'aria-label': 'Loading the pose estimator' });
  const beats = el('p', { class: 'beats', 'aria-hidden': 'true' });
  const picture = el('ul', { class: 'sight' });
  const sight = el('ul', { class: 'sight' });
  const judged = el('div', { hidden: true }, el('h2', {}, 'What can be judged from here'), sight);
  const count = el(
    'p',
    { class: 'rep-count', id: 'rep-count', 'data-digits': 1, tabindex: '-1', role: 'status', 'aria-live': 'assertive', 'aria-label': '0 reps' },
    '0',
  );
  const phase = el('p', { class: 'phase', id: 'phase' }, '');
  const details = el('dl', { class: 'figures' });
  let { facing, size } = options;
  const change = () => options.onCamera(facing, size);
  $('live').replaceChildren(
    el('h1', { id: 'live-title', tabindex: '-1' }, SET_UP),
    options.asked ? el('p', { class: 'for-check' }, options.asked) : '',
    el('div', { class: 'state' }, said, beats, bar),
    el(
      'div',
      { class: 'live-grid' },
      el('div', { class: 'frame preview', id: 'preview' }, video, overlay),
      el(
        'div',
        { class: 'during' },
        el('p', { class: 'visually-hidden' }, 'Repetitions'),
        count,
        phase,
        el('p', { class: 'actions' }, el('button', { type: 'button', id: 'end-set', onclick: options.onEnd }, 'End the set')),
      ),
      el('div', { class: 'seen' }, picture, judged),
      el(
        'div',
        { class: 'set-up' },
        el(
          'p',
          { class: 'actions' },
          el('button', { type: 'button', id: 'start-now', onclick: options.onStart }, 'Start now'),
          options.onMarks
            ? el('button', { type: 'button', class: 'plain', id: 'live-marks', onclick: options.onMarks }, 'Only feet and shins? Show me where they are')
            : '',
          el('button', { type: 'button', class: 'plain', onclick: options.onEnd }, 'Cancel'),
        ),
        el('p', { class: 'hint' }, 'Walking away ends the set; so does the Enter key, a tap on the picture or a headset’s button.'),
        el(
          'div',
          { class: 'two-up' },
          pick(
            'Camera',
            'facing',
            [
              ['environment', 'Rear camera'],
              ['user', 'Front camera'],
            ],
            facing,
            (v) => {
              facing = v;
              change();
            },
          ),
          pick(
            'Picture',
            'size',
            Object.entries(SIZES).map(([k, [w, h]]) => /** @type {[string, string]} */ ([k, `${w} × ${h}`])),
            size,
            (v) => {
              size = v;
              change();
            },
          ),
          el(
            'label',
            {},
            'Volume',
            el('input', {
              type: 'range',
              min: 0,
              max: 1,
              step: 0.1,
              value: recall('volume', 0.6),
              onchange: (/** @type {any} */ e) => remember('volume', Number(e.target.value)),
            }),
          ),
        ),
        tick('Say the count, one word per fault, and the result', 'speak', recall('speak', false)),
        tick('Film it too, to look at afterwards', 'film', recall('film', false)),
        filmLikeThis(),
        el('details', {}, el('summary', {}, 'Details'), details),
      ),
    ),
  );

  return {
    video,
    overlay,
    count,
    /** @param {boolean} mirrored */
    mirror: (mirrored) => $('preview').classList.toggle('mirrored', mirrored),
    /** @param {string} text @param {number} [share] of loading */
    say: (text, share) => {
      if (said.textContent !== text) said.textContent = text;
      bar.hidden = share === undefined;
      if (share !== undefined) bar.value = share;
    },
    /** Of the count-in, so that it can be seen from afar. @param {number} share */
    beat: (share) => {
      const text = share > 0 ? Array.from({ length: BEATS }, (_, i) => (share * BEATS > i ? '●' : '○')).join(' ') : '';
      if (beats.textContent !== text) beats.textContent = text;
    },
    /** @param {Line[]} lines about the picture @param {Line[]} seen what can be judged */
    guide: (lines, seen) => {
      fill(picture, lines);
      fill(sight, seen);
      judged.hidden = !seen.length;
    },
    /** @param {number} reps @param {string} now */
    during: (reps, now) => {
      const text = String(reps);
      if (count.textContent !== text) {
        count.textContent = text;
        count.setAttribute('aria-label', `${text} ${reps === 1 ? 'rep' : 'reps'}`);
        count.dataset.digits = String(text.length);
      }
      if (phase.dataset.phase === now) return;
      phase.textContent = PHASES[now] ?? now;
      phase.dataset.phase = now;
    },
    /** @param {boolean} counting */
    counting: (counting) => {
      $('live').classList.toggle('counting', counting);
      $('live-title').textContent = counting ? 'Counting' : SET_UP;
      if (counting) count.focus({ preventScroll: true });
    },
    /** @param {import('./frame-loop.js').Pace} pace @param {number} width @param {number} height */
    details: (pace, width, height) => {
      const all = pace.taken + pace.dropped;
      /** @type {[string, string][]} */
      const rows = [
        ['Picture', `${width} × ${height}`],
        ['Estimator', `${pace.estimator_ms.toFixed(0)} ms a frame`],
        ['Measuring', `${pace.core_ms.toFixed(1)} ms a frame`],
        ['Frames', `${pace.taken} read, ${pace.dropped} dropped (${all ? Math.round((100 * pace.dropped) / all) : 0} %)`],
      ];
      details.replaceChildren(...rows.flatMap(([term, text]) => [el('dt', {}, term), el('dd', {}, text)]));
    },
  };
}
