// @ts-check
/** A summary that came as a link: the numbers as the client's page made them, and nothing to compute again. */
import { $, el } from '../app/dom.js';
import { show } from '../app/screens.js';
import { showTrouble } from '../app/trouble.js';
import { CHECKS, number, sideName } from '../result/words.js';
import { painNotice } from './pain.js';
import { VIEW_WORDS, dayWords, findingWords } from './words.js';

/** @typedef {import('../share/result-link.js').ResultSummary} ResultSummary */

/** @param {ResultSummary} summary @param {string} fragment it came in */
export function showSummary(summary, fragment) {
  const keep = async () => {
    const { takeIn } = await import('./desk-view.js');
    await takeIn([new File([fragment], 'summary.txt')]);
  };
  const hurts = summary.sets.some((set) => set.hurts);
  const next = async () => {
    const { showMakeCheck } = await import('./make-check.js');
    await showMakeCheck({ start: { cue: hurts ? '' : (summary.sets[0]?.cue ?? '') } });
  };
  $('asked').replaceChildren(
    el('h1', { id: 'asked-title', tabindex: '-1' }, `${summary.lifter || 'A client'}, ${dayWords(summary.day)}`),
    ...summaryParts(summary),
    el(
      'p',
      { class: 'actions' },
      el(
        'button',
        {
          type: 'button',
          id: 'keep-summary',
          onclick: () => {
            keep().catch(showTrouble);
          },
        },
        'Save on the desk',
      ),
      el(
        'button',
        {
          type: 'button',
          class: 'plain',
          onclick: () => {
            next().catch(showTrouble);
          },
        },
        'Make the next check',
      ),
    ),
  );
  show('asked', { source: 'a summary link', at: `#${fragment}` });
}

/** @param {ResultSummary} summary @returns {(Node | string)[]} */
export function summaryParts(summary) {
  return [
    painNotice(summary.sets.map((set) => set.hurts)),
    ...summary.sets.map((set) =>
      el(
        'section',
        {},
        el(
          'h2',
          {},
          `${/** @type {Record<string, string>} */ (VIEW_WORDS)[set.view ?? ''] ?? 'As filmed'}: ${set.reps} ${set.reps === 1 ? 'repetition' : 'repetitions'}`,
        ),
        el(
          'p',
          {},
          `What it showed: ${findingWords(set.finding, set.side)}. ${
            set.not_judged.length
              ? `Not seen well enough to judge: ${CHECKS.filter((c) => set.not_judged.includes(c.key))
                  .map((c) => c.label.toLowerCase())
                  .join(', ')}. `
              : ''
          }${set.cue ? `The tool’s cue: ${set.cue}` : ''}`,
        ),
        el(
          'div',
          { class: 'table-scroll', tabindex: '0', role: 'region', 'aria-label': 'Summary of the repetitions' },
          el(
            'table',
            { class: 'reps' },
            el('thead', {}, el('tr', {}, ...['Check', 'Median', 'Seen in', 'Faults'].map((t) => el('th', { scope: 'col' }, t)))),
            el(
              'tbody',
              {},
              ...set.checks.map((c) => {
                const words = CHECKS.find((w) => w.key === c.check);
                return el(
                  'tr',
                  {},
                  el(
                    'th',
                    { scope: 'row' },
                    words && c.side ? `${sideName(c.side)} ${words.row}` : (words?.label ?? c.check),
                    el('small', {}, words?.unit ?? ''),
                  ),
                  el('td', {}, `${number(c.median, 1)} ± ${number(c.sd, 1)}`),
                  el('td', {}, `${c.reps} of ${set.reps}`),
                  el('td', {}, String(c.faults)),
                );
              }),
            ),
          ),
        ),
        el(
          'p',
          { class: 'hint' },
          'The middle value of the reps, ± its likely error. A summary as the client’s page made it; ask for the file to compute it again.',
        ),
      ),
    ),
  ];
}
