// @ts-check
/** Repetitions by check and side; states differ by shape and word. */
import { art, el } from '../app/dom.js';
import { VERDICTS, markOf, number, rows, whyUnseen } from './words.js';

/**
 * @param {any} report
 * @param {(t_ms: number) => void} seek jumps the figure to a moment
 */
export function repTable(report, seek) {
  const { reps } = report;
  if (!reps.length) return el('p', { class: 'slip' }, 'No whole repetition was found: begin and end each one standing tall, with the feet in the picture.');
  const head = el('tr', {}, el('th', { scope: 'col' }, 'Check'),
    ...reps.map((/** @type {any} */ rep) => el('th', { scope: 'col' }, `Rep ${rep.index}`)));
  const body = rows().map(({ check, side, name }) => {
    const marks = reps.map((/** @type {any} */ rep) => markOf(rep, check, side));
    const title = el('th', { scope: 'row' }, name, el('small', {}, check.unit));
    if (marks.every((/** @type {any} */ m) => m.verdict === 'unseen')) {
      return el('tr', { class: 'all-unseen' }, title, el('td', { colspan: reps.length }, art('v-unseen'), ` not seen${commonReason(marks)}`));
    }
    return el('tr', {}, title, ...marks.map((/** @type {any} */ mark, /** @type {number} */ i) => cell(mark, check, `${name}, repetition ${reps[i].index}`, seek)));
  });
  return el('div', { class: 'table-scroll', tabindex: '0', role: 'region', 'aria-label': 'Repetitions by check and side' },
    el('table', { class: 'reps' },
      el('caption', {}, 'Largest departure from quiet standing in each repetition, ± its standard error. A verdict needs 90 % certainty; less is “unsure”.'),
      el('thead', {}, head),
      el('tbody', {}, ...body, shapeRow(reps))));
}

/** @param {any} mark @param {import('./words.js').CheckWords} check @param {string} where @param {(t_ms: number) => void} seek */
function cell(mark, check, where, seek) {
  const word = VERDICTS[mark.verdict] ?? mark.verdict;
  if (mark.verdict === 'unseen') {
    return el('td', { class: 'unseen' }, el('span', { class: 'verdict' }, art('v-unseen'), word), el('small', {}, whyUnseen(mark.why)));
  }
  const value = `${number(mark.value, check.digits)} ± ${number(mark.sd, check.digits)}`;
  return el('td', { class: mark.verdict },
    el('span', { class: 'verdict' }, art(`v-${mark.verdict}`), word),
    mark.at_ms === null
      ? el('span', { class: 'value' }, value)
      : el('button', { type: 'button', class: 'plain value', onclick: () => seek(mark.at_ms), 'aria-label': `${value} ${check.unit}, ${where}: show the moment` }, value));
}

/** Depth and tempo, because a shallow repetition hides faults. @param {any[]} reps */
function shapeRow(reps) {
  return el('tr', { class: 'tempo' }, el('th', { scope: 'row' }, 'Depth and tempo', el('small', {}, 'down · hold · up, s')),
    ...reps.map((rep) => el('td', {},
      el('span', {}, rep.depth === null || rep.depth === undefined ? 'depth not seen' : `${Math.round(rep.depth * 100)} % down`),
      rep.shallow ? el('b', {}, ' shallow') : null,
      el('small', {}, `${rep.tempo.down_s.toFixed(1)} · ${rep.tempo.pause_s.toFixed(1)} · ${rep.tempo.up_s.toFixed(1)}`))));
}

/** @param {any[]} marks */
function commonReason(marks) {
  const reasons = [...new Set(marks.map((m) => whyUnseen(m.why)))].filter(Boolean);
  return reasons.length ? `: ${reasons.join('; ')}` : '';
}
