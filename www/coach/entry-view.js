// @ts-check
/** One result on the coach's desk: numbers computed again, replay, own note and cue, what changed. */
import { $, announce, el } from '../app/dom.js';
import { show } from '../app/screens.js';
import { showTrouble } from '../app/trouble.js';
import { showResult } from '../result/result-view.js';
import { adviceCard, cueCard } from '../result/cue-card.js';
import { repTable } from '../result/rep-table.js';
import { viewWords } from '../result/words.js';
import { discard, keep } from './desk-store.js';
import { showDesk } from './desk-view.js';
import { showMakeCheck } from './make-check.js';
import { recompute } from './recompute.js';
import { trendTable } from './trend-table.js';
import { dayWords } from './words.js';

/** @typedef {import('./desk-store.js').OpenEntry} OpenEntry */

/** @param {() => Promise<unknown>} act @returns {() => void} */
const guarded = (act) => () => { act().catch(showTrouble); };

/**
 * @param {OpenEntry} entry
 * @param {OpenEntry[]} history the client's results, oldest first
 */
export async function showEntry(entry, history) {
  const { result } = entry;
  const sets = await Promise.all(result.sets.map(async (set) => ({ set, ...(await recompute(set)) })));
  const tool = sets[0]?.report.cue.text ?? '';
  const next = () => showMakeCheck({ ...(result.check ?? {}), cue: entry.cue || tool, message: '' });
  $('coach').replaceChildren(
    el('h1', { id: 'coach-title', tabindex: '-1' }, `${entry.client}, ${dayWords(result.day)}`),
    el('p', { class: 'actions' },
      el('button', { type: 'button', id: 'next-check', onclick: next }, 'Make the next check'),
      el('button', { type: 'button', class: 'plain', onclick: guarded(() => showDesk()) }, 'Back to the desk'),
      el('button', { type: 'button', class: 'plain', onclick: guarded(() => remove(entry)) }, 'Delete this result')),
    result.note ? el('p', { class: 'slip' }, `${entry.client} writes: ${result.note}`) : '',
    ownWords(entry, tool, () => { if (sets[0]) $('cue-to-give').replaceWith(cueToGive(entry, sets[0].report)); }),
    sets[0] ? cueToGive(entry, sets[0].report) : '',
    ...sets.map(({ set, report, differences }) => setSection(entry, set, report, differences)),
    await trendTable(history));
  show('coach', { source: `${entry.client}’s result` });
}

/** The coach's own cue where there is one, the tool's otherwise, and what goes with a cue. @param {OpenEntry} entry @param {any} report */
function cueToGive(entry, report) {
  const own = entry.cue ? { ...report, cue: { ...report.cue, text: entry.cue, side: null } } : report;
  return el('div', { id: 'cue-to-give' }, cueCard(own), entry.cue ? el('p', { class: 'hint' }, `Your cue. The tool’s: ${report.cue.text}`) : null, adviceCard(report));
}

/** @param {OpenEntry} entry @param {string} tool the tool's cue */
function ownWords(entry, tool, changed = () => {}) {
  const area = (/** @type {'note' | 'cue'} */ key, /** @type {string} */ label, /** @type {number} */ max, /** @type {string} */ hint) =>
    el('label', { class: 'field' }, label, el('input', { type: 'text', value: entry[key], maxlength: max, name: `own-${key}`, placeholder: hint, onchange: (/** @type {any} */ event) => {
      entry[key] = event.target.value.trim();
      changed();
      keep(entry).then(() => announce('Kept.'), showTrouble);
    } }));
  return el('div', { class: 'two-up own-words' },
    area('cue', 'Your cue, instead of the tool’s', 120, tool),
    area('note', 'Your note', 500, ''),
    el('label', { class: 'field' }, 'Kept under the name', el('input', { type: 'text', value: entry.client, maxlength: 30, onchange: (/** @type {any} */ event) => {
      entry.client = event.target.value.trim() || 'No name';
      keep(entry).then(() => announce('Kept.'), showTrouble);
    } })));
}

/** @param {OpenEntry} entry @param {import('../share/result-file.js').SentSet} set @param {any} report @param {string[]} differences */
function setSection(entry, set, report, differences) {
  const replay = () => showResult(
    /** @type {any} */ ({ id: entry.id, name: entry.client, source: `${entry.client}’s result`, made: entry.result.day, recording: set.recording, report, made_with: entry.result.made_with }),
    [{ label: 'Back to the desk', act: guarded(() => showDesk()) }]);
  const changed = Object.keys(set.thresholds).length;
  return el('section', {}, el('h2', {}, viewWords(report.view)),
    differences.length
      ? el('p', { class: 'slip' }, `Computed again with today’s version; the client’s version (${entry.result.made_with || 'unknown'}) said otherwise. ${differences.join('; ')}.`)
      : el('p', { class: 'same-numbers' }, 'Computed again: equal to the client’s numbers.'),
    changed ? el('p', {}, `${changed} fault ${changed === 1 ? 'line was' : 'lines were'} changed for this check.`) : '',
    el('p', {}, report.finding.sentence),
    el('p', { class: 'actions' }, el('button', { type: 'button', class: 'plain', onclick: guarded(replay) }, 'Replay and curves')),
    repTable(report, guarded(replay)));
}

/** @param {OpenEntry} entry */
async function remove(entry) {
  if (!window.confirm('Delete this result from the desk? It can’t be brought back.')) return;
  await discard(entry.id);
  await showDesk('Deleted.');
}
