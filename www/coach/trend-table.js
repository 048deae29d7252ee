// @ts-check
/** A client's weeks side by side, per check, against the band of no real change. */
import { el } from '../app/dom.js';
import { core } from '../app/core.js';
import { number, rows } from '../result/words.js';
import { recompute } from './recompute.js';
import { dayWords } from './words.js';

/** @type {Record<string, string>} */
const CHANGES = { better: 'better', worse: 'worse', 'no-real-change': 'no real change' };

/** @param {import('./desk-store.js').OpenEntry[]} history oldest first */
export async function trendTable(history) {
  if (history.length < 2) return el('p', {}, 'What changed over the weeks is shown once there is a second result.');
  const { compare } = await core();
  // One set a result: the first view asked for, so that like is compared with like.
  const firsts = history.filter((h) => h.result.sets.length);
  const reports = await Promise.all(firsts.map(async (h) => (await recompute(h.result.sets[0])).report));
  const last = /** @type {any} */ (compare(reports));
  return el('section', {}, el('h2', {}, 'Over the weeks'),
    el('div', { class: 'table-scroll', tabindex: '0', role: 'region', 'aria-label': 'Over the weeks' },
      el('table', { class: 'reps' },
        el('caption', {}, 'Mean of the repetitions. The last column compares the last result with the one before: only a change larger than measuring error and day-to-day spread counts.'),
        el('thead', {}, el('tr', {}, el('th', { scope: 'col' }, 'Check'), ...firsts.map((h) => el('th', { scope: 'col' }, dayWords(h.result.day))), el('th', { scope: 'col' }, 'Change'))),
        el('tbody', {}, ...rows().map(({ check, side, name }) => {
          const pick = (/** @type {any} */ of) => (side ? of?.[check.key]?.[side] : of?.[check.key]);
          const change = pick(last?.checks ?? last);
          return el('tr', {}, el('th', { scope: 'row' }, name, el('small', {}, check.unit)),
            ...reports.map((report) => el('td', {}, mean(report.reps.map(pick), check.digits))),
            el('td', {}, CHANGES[change?.verdict] ?? 'not seen in both'));
        })))));
}

/** @param {any[]} marks @param {number} digits */
function mean(marks, digits) {
  const values = marks.map((m) => m?.value).filter((v) => typeof v === 'number');
  return values.length ? number(values.reduce((a, b) => a + b, 0) / values.length, digits) : 'not seen';
}
