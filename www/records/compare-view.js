// @ts-check
/** Sets side by side: what really changed, and what is within what chance can do. */
import { $, art, el } from '../app/dom.js';
import { scrollHint } from '../result/rep-table.js';
import { number, rows } from '../result/words.js';
import { filmedAt } from '../result/set-facts.js';
import { dayOf } from './day.js';
import { basesOf, outcomeOf } from './outcomes.js';
import { changesOf } from './over-time.js';
import { trendSheet } from './trend-plot.js';

/** @typedef {import('./store.js').Card} Card */
/** @typedef {import('../pkg/index.js').Change} Change */

/** @type {(() => void) | null} */
let dispose = null;

/** @param {Card[]} chosen newest first, at least two */
export async function showComparison(chosen) {
  const sets = [...chosen].reverse();
  const changes = await changesOf(sets);
  const trends = trendSheet(
    sets.map((card) => ({ ...card, made: filmedAt(card) })),
    changes,
  );
  dispose?.();
  dispose = trends.dispose;
  const table = el(
    'div',
    { class: 'table-scroll', tabindex: '0', role: 'region', 'aria-label': 'Comparison' },
    el(
      'table',
      { class: 'reps' },
      el('thead', {}, el('tr', {}, ...['Check', 'Before', 'Now', 'Change', 'Real if more than'].map((t) => el('th', { scope: 'col' }, t)))),
      el(
        'tbody',
        {},
        ...rows().map(({ check, side, name }) =>
          row(
            changes.find((c) => c.check === check.key && c.side === side),
            check,
            name,
          ),
        ),
      ),
    ),
  );
  $('comparison').replaceChildren(
    el('h2', { id: 'comparison-title', tabindex: '-1' }, 'Before and now'),
    el(
      'p',
      {},
      `${dayOf(filmedAt(/** @type {Card} */ (sets.at(-1))))} against ${sets.length === 2 ? dayOf(filmedAt(sets[0])) : `the ${sets.length - 1} sets before it`}.`,
    ),
    scrollHint(table, 'the changes'),
    table,
    ...basesOf(changes).map((sentence) => el('p', { class: 'hint' }, sentence)),
    trends.root,
  );
  $('comparison-title').focus();
}

/** @param {Change | undefined} change @param {import('../result/words.js').CheckWords} check @param {string} name */
function row(change, check, name) {
  const title = el('th', { scope: 'row' }, name, el('small', {}, check.unit));
  if (!change) return el('tr', { class: 'all-unseen' }, title, el('td', { colspan: 4 }, art('v-unseen'), ' missing in one of the sets'));
  const [word, shape] = outcomeOf(change);
  return el(
    'tr',
    {},
    title,
    el('td', {}, number(change.earlier, check.digits)),
    el('td', {}, number(change.later, check.digits)),
    el('td', { class: change.outcome }, el('span', { class: 'verdict' }, art(shape), word)),
    el('td', {}, `± ${number(change.mdc95, check.digits)}`),
  );
}
