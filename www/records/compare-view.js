// @ts-check
/** Sets side by side: what changed beyond the noise. */
import { $, el } from '../app/dom.js';
import { core } from '../app/core.js';
import { number, rows } from '../result/words.js';
import { dayOf } from './records-view.js';

/** @type {Record<string, string>} */
const CHANGES = { better: 'better', worse: 'worse', 'no-real-change': 'no real change', unseen: 'not seen in both' };

/** @param {import('./store.js').Card[]} chosen newest first */
export async function showComparison(chosen) {
  const { compare } = await core();
  const inOrder = [...chosen].reverse();
  const result = /** @type {any} */ (compare(inOrder.map((card) => card.report)));
  $('comparison').replaceChildren(
    el('h2', {}, `${inOrder.length} sets compared`),
    el('p', {}, `${inOrder.map((card) => `${card.name || 'no name'} (${dayOf(card.made)})`).join(', then ')}. A change counts only when it is larger than both sets’ own spread.`),
    el('div', { class: 'table-scroll', tabindex: '0', role: 'region', 'aria-label': 'Comparison' }, el('table', { class: 'reps' },
      el('thead', {}, el('tr', {}, el('th', { scope: 'col' }, 'Check'), ...inOrder.map((card) => el('th', { scope: 'col' }, card.name || dayOf(card.made))), el('th', { scope: 'col' }, 'Change'))),
      el('tbody', {}, ...rows().map(({ check, side, name }) => comparisonRow(result, inOrder, check, side, name))))));
  $('comparison').scrollIntoView({ block: 'nearest' });
}

/** @param {any} result @param {any[]} sets @param {import('../result/words.js').CheckWords} check @param {'left' | 'right' | null} side @param {string} name */
function comparisonRow(result, sets, check, side, name) {
  const pick = (/** @type {any} */ of) => (side ? of?.[check.key]?.[side] : of?.[check.key]);
  const change = pick(result.checks ?? result);
  const word = CHANGES[change?.verdict ?? change?.change ?? 'unseen'] ?? 'not seen in both';
  return el('tr', {}, el('th', { scope: 'row' }, name, el('small', {}, check.unit)),
    ...sets.map((card) => el('td', {}, meanOf(card.report.reps.map(pick), check.digits))),
    el('td', {}, word));
}

/** @param {any[]} marks @param {number} digits */
function meanOf(marks, digits) {
  const values = marks.map((m) => m?.value).filter((v) => typeof v === 'number');
  return values.length ? number(values.reduce((a, b) => a + b, 0) / values.length, digits) : 'not seen';
}
