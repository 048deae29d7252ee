// @ts-check
/** A finished set: the cue first, then why, then every number. */
import { $, el } from '../app/dom.js';
import { show } from '../app/screens.js';
import { jointIndex } from '../figure/joints.js';
import { createPlayer } from '../figure/player.js';
import { adviceCard, cueCard } from './cue-card.js';
import { footDiagram } from './foot-diagram.js';
import { plotSheet } from './plots.js';
import { repTable } from './rep-table.js';
import { faultLines } from './thresholds.js';
import { viewWords } from './words.js';

/**
 * @param {import('../app/types.js').KeptSet} set its report needs `series`
 * @param {{ label: string, act: () => void, first?: boolean }[]} actions buttons under the cue; first: what most will want
 * @param {{ film: import('../app/types.js').Film, choice: HTMLElement }} [filmed] the video it was read from, and whether to keep it
 */
export async function showResult(set, actions, filmed) {
  const { recording, report } = set;
  const index = await jointIndex(recording.layout);
  const feet = footDiagram(report.series);
  const player = createPlayer(recording, index, { film: filmed?.film, reps: report.reps, onFrame: (frame) => feet.show(frame) });
  const seek = (/** @type {number} */ t_ms) => {
    player.seek(t_ms);
    player.root.scrollIntoView({ block: 'nearest' });
  };
  const plots = report.series && report.reps.length ? plotSheet(report, await faultLines(set.thresholds)) : null;
  const count = report.reps.length;
  $('result').replaceChildren(
    el('h1', { id: 'result-title', tabindex: '-1' }, count === 1 ? 'One repetition' : `${count || 'No'} repetitions`),
    el('p', { class: 'set-facts' }, [set.name, viewWords(report.view)].filter(Boolean).join(' · ')),
    el('div', { class: 'result-top' },
      el('div', {}, cueCard(report), adviceCard(report),
        el('p', { class: 'actions' }, ...actions.map(({ label, act, first }) => el('button', { type: 'button', class: first ? '' : 'plain', onclick: act }, label)))),
      el('div', { class: 'result-side' }, el('div', {}, player.root, filmed?.choice), feet.root)),
    el('section', {}, el('h2', {}, 'Repetition by repetition'), repTable(report, seek)),
    plots ? el('section', { class: 'plot-section' }, el('h2', {}, 'Over the lift'),
      el('p', {}, 'Thin lines are repetitions (the last one dashed), the thick line their mean, the band its 95 % error. Hatched ground counts as a fault.'), plots.root) : '',
    notes(report));
  // The moment that the finding is about says more than the first frame.
  const shown = report.reps.find((rep) => rep.index === report.finding.reps[0]) ?? report.reps[0];
  if (shown) player.seek(shown.bottom_ms);
  show('result', { source: set.source, onLeave: () => { player.dispose(); plots?.dispose(); } });
}

/** @param {any} report */
function notes(report) {
  if (!report.notes.length) return '';
  return el('section', {}, el('h2', {}, 'What could not be seen, and other remarks'), el('ul', {}, ...report.notes.map((/** @type {string} */ n) => el('li', {}, n))));
}
