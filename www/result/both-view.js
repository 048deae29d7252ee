// @ts-check
/** One result of two sets, filmed from different sides. */
import { $, art, el } from '../app/dom.js';
import { show } from '../app/screens.js';
import { leading, together } from './both-sides.js';
import { adviceCard, cueCard } from './cue-card.js';
import { resultPlayer } from './result-view.js';
import { VERDICTS, short, sideWords } from './words.js';

/** @typedef {import('../app/types.js').KeptSet} KeptSet */

/**
 * @param {[KeptSet, KeptSet]} sets their reports need `series`
 * @param {(set: KeptSet) => void} open shows one of them in full
 * @param {Map<string, import('../app/types.js').Film>} films by set
 */
export async function showBoth(sets, open, films) {
  const reports = /** @type {[any, any]} */ (sets.map((set) => set.report));
  const first = leading(reports);
  const other = 1 - first;
  const sides = reports.map((report) => sideWords(report.view) || 'from an unknown side');
  const players = await Promise.all(sets.map((set) => resultPlayer(set, { film: films.get(set.id) })));
  const all = together(reports);
  const count = reports.map((report) => report.reps.length);
  $('result').replaceChildren(
    el('h1', { id: 'result-title', tabindex: '-1' }, `Both sides: ${count[0]} and ${count[1]} reps`),
    el(
      'p',
      { class: 'set-facts' },
      `${sets[0].name ? `${sets[0].name} · ` : ''}One set ${sides[0]}, one ${sides[1]}. Each check is taken from the set that shows it better.`,
    ),
    el('div', { class: 'both-top' }, cueCard(reports[first]), el('p', {}, `The set ${sides[other]}: ${reports[other].finding.sentence}`)),
    el(
      'div',
      { class: 'both-pictures' },
      ...sets.map((set, i) =>
        el(
          'section',
          {},
          el('h2', {}, capital(sides[i])),
          players[i].root,
          el('p', { class: 'actions' }, el('button', { type: 'button', class: 'plain', onclick: () => open(set) }, 'This set in full')),
        ),
      ),
    ),
    el(
      'section',
      {},
      el('h2', {}, 'Every check'),
      el('div', { class: 'table-scroll', tabindex: '0', role: 'region', 'aria-label': 'Checks of both sets' }, table(all, sides)),
    ),
    // What to film next is done: the other side is here.
    adviceCard({ ...reports[first], cue: { ...reports[first].cue, film_next: null } }),
    el(
      'p',
      { class: 'actions' },
      el('button', { type: 'button', class: 'plain', onclick: () => window.print() }, 'Print'),
      el('button', { type: 'button', class: 'plain', onclick: () => show('start') }, 'Another set'),
    ),
  );
  show('result', { source: 'two sets', at: `#/both/${sets.map((set) => set.id).join(',')}`, onLeave: () => players.forEach((player) => player.dispose()) });
}

/** @param {import('./both-sides.js').Taken[]} all @param {string[]} sides */
function table(all, sides) {
  return el(
    'table',
    { class: 'reps' },
    el('thead', {}, el('tr', {}, ...['Check', 'Verdict', 'Furthest out', 'Seen'].map((t) => el('th', { scope: 'col' }, t)))),
    el(
      'tbody',
      {},
      ...all.map(({ check, name, verdict, from, worst, faults, reps }) =>
        el(
          'tr',
          {},
          el('th', { scope: 'row' }, name, el('small', {}, check.unit)),
          el(
            'td',
            { class: verdict },
            el('span', { class: 'verdict' }, art(`v-${verdict}`), VERDICTS[verdict]),
            faults ? el('small', {}, `${faults} of ${reps} reps`) : null,
          ),
          el('td', {}, worst ? short(worst.value, check) : ''),
          el('td', {}, verdict === 'unseen' ? 'not from either side' : sides[from]),
        ),
      ),
    ),
  );
}

/** @param {string} text */
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);
