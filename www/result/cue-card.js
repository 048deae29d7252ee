// @ts-check
/** The one thing to do next, readable in ten seconds. */
import { el } from '../app/dom.js';
import { folded, small } from '../app/fold.js';

/** @type {Record<string, string>} */
const FOR_SIDE = { left: 'Left foot', right: 'Right foot', both: 'Both feet' };

/** Remarks on the film that a reader must know before believing anything: what was put right in it, and what was out of sight. */
const OF_THE_FILM = ['upside-down', 'quarter-turn', 'phone-knocked', 'phone-drifted', 'phone-shaken', 'out-of-sight'];

/** @param {any} report */
export function cueCard(report) {
  const { cue, finding } = report;
  const text = cue.text || 'Not enough could be seen for a cue. Film another set, feet and shins in the picture, standing still before and after.';
  return el(
    'section',
    { class: 'cue', 'aria-labelledby': 'cue-text' },
    el('p', { class: 'note-label' }, `Do this next${FOR_SIDE[cue.side] ? ` · ${FOR_SIDE[cue.side]}` : ''}`),
    el('p', { id: 'cue-text', class: 'cue-text' }, text),
    finding.sentence ? el('p', { class: 'finding' }, finding.sentence) : null,
    ...cue.why.filter((/** @type {string} */ w) => w !== finding.sentence).map((/** @type {string} */ w) => el('p', {}, w)),
    ...report.notes.filter((/** @type {any} */ n) => OF_THE_FILM.includes(n.code)).map((/** @type {any} */ n) => el('p', {}, n.text)),
    cue.look_again_days ? el('p', {}, `Practise it, film again in ${cue.look_again_days} days and compare.`) : null,
  );
}

/** What to film next, the resting shape and the cautions. @param {any} report */
export function adviceCard(report) {
  const { cue, finding } = report;
  return el(
    'section',
    { class: 'advice', 'aria-label': 'What to film next, and cautions' },
    cue.film_next ? el('div', { class: 'film-next' }, el('h2', {}, 'Next time, film'), el('p', {}, cue.film_next)) : null,
    finding.resting_shape.length ? el('div', {}, el('h2', {}, 'At rest'), ...finding.resting_shape.map((/** @type {string} */ s) => el('p', {}, s))) : null,
    cue.cautions.length ? el('div', {}, ...cautions(cue.cautions)) : null,
  );
}

/** The first one is never folded away. @param {string[]} all */
function cautions(all) {
  const list = (/** @type {string[]} */ some) => el('ul', { class: 'cautions' }, ...some.map((text) => el('li', {}, text)));
  const title = el('h2', {}, 'Careful');
  return small() && all.length > 1 ? [title, list(all.slice(0, 1)), ...folded('More cautions', list(all.slice(1)))] : [title, list(all)];
}
