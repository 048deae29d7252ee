// @ts-check
/**
 * What the address brought: a coach's check or a summary. A link only ever opens a screen; it
 * starts no camera, deletes nothing and leads nowhere else.
 */
import { $, el } from '../app/dom.js';
import { show } from '../app/screens.js';
import { Trouble, showTrouble } from '../app/trouble.js';
import { CHECKS, number } from '../result/words.js';
import { painNotice } from '../coach/pain.js';
import { VIEW_WORDS, dayWords, findingWords } from '../coach/words.js';
import { isCheckFragment } from '../share/check-link.js';
import { decodeSummary, isSummaryFragment } from '../share/result-link.js';
import { startAsked } from './asked.js';
import { showAsked } from './asked-view.js';

/** @param {string} fragment with or without '#' */
export async function openLink(fragment) {
  if (isCheckFragment(fragment)) {
    await startAsked(fragment);
    return showAsked();
  }
  if (isSummaryFragment(fragment)) return showSummary(decodeSummary(fragment));
  throw new Trouble('The end of this address is neither a check nor a result. If somebody sent it to you, the link is not whole: ask for it again.');
}

/** @param {import('../share/result-link.js').ResultSummary} summary */
function showSummary(summary) {
  $('asked').replaceChildren(
    el('h1', { id: 'asked-title', tabindex: '-1' }, `${summary.lifter || 'A client'}, ${dayWords(summary.day)}`),
    painNotice(summary.sets.map((set) => set.hurts)),
    ...summary.sets.map((set) => el('section', {},
      el('h2', {}, `${/** @type {Record<string, string>} */ (VIEW_WORDS)[set.view ?? ''] ?? 'As filmed'}: ${set.reps} ${set.reps === 1 ? 'repetition' : 'repetitions'}`),
      el('p', {}, `What it showed: ${findingWords(set.finding, set.side)}. ${set.cue ? `The tool’s cue: ${set.cue}` : ''}`),
      el('table', { class: 'reps' },
        el('caption', {}, 'Median of the repetitions, ± standard error. A summary as the client’s page made it; ask for the file to compute it again.'),
        el('thead', {}, el('tr', {}, ...['Check', 'Median', 'Seen in', 'Faults'].map((t) => el('th', { scope: 'col' }, t)))),
        el('tbody', {}, ...set.checks.map((c) => {
          const words = CHECKS.find((w) => w.key === c.check);
          return el('tr', {}, el('th', { scope: 'row' }, `${words?.label ?? c.check}${c.side ? `, ${c.side}` : ''}`, el('small', {}, words?.unit ?? '')),
            el('td', {}, `${number(c.median, 1)} ± ${number(c.sd, 1)}`), el('td', {}, `${c.reps} of ${set.reps}`), el('td', {}, String(c.faults)));
        }))))));
  $('asked').append(el('p', { class: 'actions' },
    el('button', { type: 'button', onclick: () => { import('../coach/make-check.js').then(({ showMakeCheck }) => showMakeCheck({ cue: summary.sets.some((set) => set.hurts) ? '' : summary.sets[0]?.cue ?? '' }), showTrouble); } }, 'Make the next check')));
  show('asked', { source: 'a summary link' });
}
