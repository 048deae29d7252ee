// @ts-check
/** Repetitions by check and side; states differ by shape and word. */
import { art, el } from '../app/dom.js';
import { folded } from '../app/fold.js';
import { VERDICTS, depthWords, markOf, number, rows, short, whyUnseen } from './words.js';

/** One-sided 90 % of the normal distribution, in standard errors: what "at most" goes by. */
const SURE = 1.2816;

/**
 * @param {any} report
 * @param {(t_ms: number) => void} seek jumps the figure to a moment
 * @param {readonly string[]} [only] the checks that were asked for; all when left out
 */
export function repTable(report, seek, only) {
  const { reps } = report;
  if (!reps.length) return el('p', { class: 'slip' }, 'No whole repetition was found: begin and end each one standing tall, with the feet in the picture.');
  const head = el(
    'tr',
    {},
    el('th', { scope: 'col' }, 'Check'),
    ...reps.map((/** @type {any} */ rep) => el('th', { scope: 'col' }, el('span', { class: 'word' }, 'Rep '), String(rep.index))),
  );
  const body = rows()
    .filter(({ check }) => only?.includes(check.key) ?? true)
    .map(({ check, side, name }) => {
      const marks = reps.map((/** @type {any} */ rep) => markOf(rep, check, side));
      const title = el('th', { scope: 'row' }, name, el('small', {}, check.unit));
      if (marks.every((/** @type {any} */ m) => m.verdict === 'unseen')) {
        return el('tr', { class: 'all-unseen' }, title, el('td', { colspan: reps.length }, art('v-unseen'), ` not seen${commonReason(marks)}`));
      }
      return el(
        'tr',
        {},
        title,
        ...marks.map((/** @type {any} */ mark, /** @type {number} */ i) => cell(mark, check, `${name}, repetition ${reps[i].index}`, seek)),
      );
    });
  const scroll = el(
    'div',
    { class: 'table-scroll', tabindex: '0', role: 'region', 'aria-label': 'Repetitions by check and side' },
    el('table', { class: 'reps by-rep' }, el('thead', {}, head), el('tbody', {}, ...body, depthRow(reps), tempoRow(reps))),
  );
  return el(
    'div',
    {},
    scrollHint(scroll),
    scroll,
    el('p', { class: 'verdict-key' }, ...Object.entries(VERDICTS).map(([verdict, word]) => el('span', {}, art(`v-${verdict}`), word))),
    ...folded(
      'How to read it',
      el(
        'p',
        { class: 'hint table-said' },
        'The largest value in each rep, ± its likely error. Knees are read against the foot’s line, balance as it is, the rest against standing. We only call it OK or a fault when at least 90 % sure.',
      ),
    ),
  );
}

/** Said only where there is more than fits. @param {HTMLElement} scroll @param {string} [what] there is more of */
export function scrollHint(scroll, what = 'all reps') {
  const hint = el('p', { class: 'hint scroll-hint', hidden: true }, `Scroll sideways for ${what} →`);
  new ResizeObserver(() => {
    hint.hidden = scroll.scrollWidth <= scroll.clientWidth + 1;
  }).observe(scroll);
  return hint;
}

/** @param {any} mark @param {import('./words.js').CheckWords} check @param {string} where @param {(t_ms: number) => void} seek */
function cell(mark, check, where, seek) {
  const word = VERDICTS[mark.verdict] ?? mark.verdict;
  if (mark.verdict === 'unseen') {
    return el(
      'td',
      { class: 'unseen' },
      el('span', { class: 'verdict' }, art('v-unseen'), el('span', { class: 'word' }, word)),
      el('small', {}, whyUnseen(mark.why)),
    );
  }
  const value = short(mark.value, check);
  // A heel can't be below the floor it stood on: what is known is how little it can have risen.
  const error = value === 'down' ? ` (under ${Math.ceil(Math.max(0, mark.value) + SURE * mark.sd)})` : ` ± ${number(mark.sd, check.digits)}`;
  const text = [value, el('span', { class: 'error' }, error)];
  return el(
    'td',
    { class: mark.verdict },
    el('span', { class: 'verdict' }, art(`v-${mark.verdict}`), el('span', { class: 'word' }, word)),
    mark.at_ms === null
      ? el('span', { class: 'value' }, ...text)
      : el(
          'button',
          { type: 'button', class: 'plain value', onclick: () => seek(mark.at_ms), 'aria-label': `${value}${error}, ${where}: show the moment` },
          ...text,
        ),
  );
}

/** Because a shallow repetition hides faults. @param {any[]} reps */
function depthRow(reps) {
  return el(
    'tr',
    { class: 'depth' },
    el('th', { scope: 'row' }, 'Depth', el('small', {}, 'of the thighs')),
    ...reps.map((rep) =>
      el(
        'td',
        {},
        ...depthWords(rep)
          .split(/(?= \()/)
          .map((part, i) => (i ? el('span', { class: 'error' }, part) : part)),
        rep.shallow ? el('b', {}, ' shallow') : null,
      ),
    ),
  );
}

/** @param {any[]} reps */
function tempoRow(reps) {
  return el(
    'tr',
    { class: 'tempo' },
    el('th', { scope: 'row' }, 'Tempo', el('small', {}, 'down · hold · up, s')),
    ...reps.map((rep) => el('td', {}, [rep.tempo.down_s, rep.tempo.pause_s, rep.tempo.up_s].map((/** @type {number} */ s) => s.toFixed(1)).join(' · '))),
  );
}

/** @param {any[]} marks */
function commonReason(marks) {
  const reasons = [...new Set(marks.map((m) => whyUnseen(m.why)))].filter(Boolean);
  return reasons.length ? `: ${reasons.join('; ')}` : '';
}
