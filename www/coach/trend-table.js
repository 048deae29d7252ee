// @ts-check
/** A client's weeks side by side, per side filmed and per check, against the band of no real change. */
import { art, el } from '../app/dom.js';
import { core } from '../app/core.js';
import { basesOf, outcomeOf } from '../records/outcomes.js';
import { trendSheet } from '../records/trend-plot.js';
import { markOf, number, rows } from '../result/words.js';
import { judge } from './judged.js';
import { VIEW_WORDS, dayNumber, shortDay } from './words.js';

/** @typedef {import('../pkg/index.js').Change} Change */
/** @typedef {{ day: string, report: any }} Week */

/** Takes the last plots down. @type {(() => void)[]} */
let drawn = [];

/**
 * @param {import('./desk-store.js').DeskCard[]} history oldest first
 * @param {Map<number, import('./desk-store.js').SentCheck>} sent
 * @param {readonly string[] | undefined} only the checks that were asked for; all when left out
 * @param {() => boolean} wanted whether anybody still waits for it
 * @returns {Promise<Node[]>}
 */
export async function trendParts(history, sent, only, wanted) {
  const { compare } = await core();
  /** Like with like: every side that the last result was filmed from, in the results that have it. @type {Map<string, Week[]>} */
  const views = new Map();
  // From the last on, one at a time: a desk may hold more than the memory does.
  for (const card of [...history].reverse()) {
    if (!wanted()) return [];
    if (card.kind !== 'file' || card.again) continue;
    const judged = await judge(card, sent).catch(() => null);
    if (!judged) continue;
    if (!views.size) for (const set of judged.sets) views.set(set.wanted, []);
    for (const [view, weeks] of views) {
      const set = judged.sets.find((s) => s.wanted === view);
      if (set) weeks.unshift({ day: set.day, report: set.report });
    }
  }
  drawn.forEach((dispose) => dispose());
  drawn = [];
  const shown = await Promise.all(
    [...views]
      .filter(([, weeks]) => weeks.length > 1)
      .map(async ([view, weeks]) => oneView(view, weeks, only, await compare(weeks.map(({ day, report }) => ({ ...report, day: dayNumber(day) }))))),
  );
  return [el('h2', {}, 'Over the weeks'), ...(shown.length ? shown : [el('p', {}, 'What changed is shown once there is a second result from the same side.')])];
}

/** @param {string} view @param {Week[]} weeks oldest first @param {readonly string[] | undefined} only @param {Change[]} changes the last against those before */
function oneView(view, weeks, only, changes) {
  const trends = trendSheet(
    weeks.map(({ day, report }) => ({ made: `${day}T12:00:00`, report })),
    changes,
  );
  drawn.push(trends.dispose);
  const title = /** @type {Record<string, string>} */ (VIEW_WORDS)[view] ?? 'As filmed';
  return el(
    'div',
    { class: 'trend-view' },
    el('h3', {}, title),
    el('p', { class: 'hint' }, `Mean of each set. The last one is compared with ${weeks.length === 2 ? 'the one' : 'those'} before it.`),
    el(
      'div',
      { class: 'table-scroll', tabindex: '0', role: 'region', 'aria-label': `Over the weeks, ${title}` },
      el(
        'table',
        { class: 'reps' },
        el(
          'thead',
          {},
          el('tr', {}, ...['Check', 'Change', 'Real if more than', ...weeks.map((w) => shortDay(w.day))].map((t) => el('th', { scope: 'col' }, t))),
        ),
        el(
          'tbody',
          {},
          ...rows()
            .filter(({ check }) => only?.includes(check.key) ?? true)
            .map(({ check, side, name }) => {
              const change = changes.find((c) => c.check === check.key && c.side === side);
              const means = weeks.map(({ report }) =>
                el(
                  'td',
                  {},
                  mean(
                    report.reps.map((/** @type {any} */ rep) => markOf(rep, check, side)),
                    check.digits,
                  ),
                ),
              );
              const head = el('th', { scope: 'row' }, name, el('small', {}, check.unit));
              if (!change) return el('tr', { class: 'all-unseen' }, head, el('td', { colspan: 2 }, art('v-unseen'), ' missing in one of the sets'), ...means);
              const [word, shape] = outcomeOf(change);
              return el(
                'tr',
                {},
                head,
                el('td', { class: change.outcome }, el('span', { class: 'verdict' }, art(shape), word)),
                el('td', {}, `± ${number(change.mdc95, check.digits)}`),
                ...means,
              );
            }),
        ),
      ),
    ),
    ...basesOf(changes).map((sentence) => el('p', { class: 'hint' }, sentence)),
    trends.root,
  );
}

/** @param {any[]} marks @param {number} digits */
function mean(marks, digits) {
  const values = marks.map((m) => m?.value).filter((v) => typeof v === 'number');
  return values.length ? number(values.reduce((a, b) => a + b, 0) / values.length, digits) : 'not seen';
}
