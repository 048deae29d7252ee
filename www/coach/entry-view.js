// @ts-check
/** One result on the coach's desk: numbers computed again, replay, own note and cue, what changed. */
import { $, el } from '../app/dom.js';
import { show } from '../app/screens.js';
import { showTrouble } from '../app/trouble.js';
import { showResult } from '../result/result-view.js';
import { adviceCard, cueCard } from '../result/cue-card.js';
import { repTable } from '../result/rep-table.js';
import { viewWords } from '../result/words.js';
import { NO_NAME, OWN_MAX, discard, keep, openEntry } from './desk-store.js';
import { showDesk } from './desk-view.js';
import { showMakeCheck } from './make-check.js';
import { recompute } from './recompute.js';
import { trendParts } from './trend-table.js';
import { painNotice } from './pain.js';
import { VIEW_WORDS, dayWords, otherThanAsked } from './words.js';

/** What is typed is kept after so long without a key. */
const TYPING_MS = 600;

/** @typedef {import('./desk-store.js').DeskCard} DeskCard */

/** @param {() => Promise<unknown>} act @returns {() => void} */
const guarded = (act) => () => { act().catch(showTrouble); };

/**
 * @param {DeskCard} card
 * @param {DeskCard[]} history the client's results, oldest first
 */
export async function showEntry(card, history) {
  const { result } = await openEntry(card);
  const sets = await Promise.all(result.sets.map(async (set) => ({ set, ...(await recompute(set)) })));
  const hurts = result.sets.some((set) => set.hurts);
  // Who is in pain gets no cue from here; the coach may still write one.
  const tool = hurts ? '' : sets[0]?.report.cue.text ?? '';
  const next = guarded(() => showMakeCheck({ start: { ...(result.check ?? {}), cue: card.cue || tool, message: '' } }));
  const again = guarded(() => showEntry(card, history));
  const weeks = el('section', { id: 'weeks' }, el('h2', {}, 'Over the weeks'), el('p', { role: 'status' }, 'Computing…'));
  $('coach').replaceChildren(
    el('h1', { id: 'coach-title', tabindex: '-1' }, `${card.client}, ${dayWords(result.day)}`),
    painNotice(result.sets.map((set) => set.hurts)),
    el('p', { class: 'actions' },
      el('button', { type: 'button', id: 'next-check', onclick: next }, 'Make the next check'),
      el('button', { type: 'button', class: 'plain', onclick: guarded(() => showDesk()) }, 'Back to the desk'),
      el('button', { type: 'button', class: 'plain', onclick: guarded(() => remove(card)) }, 'Delete this result')),
    result.note ? el('p', { class: 'slip' }, `${card.client} writes: ${result.note}`) : '',
    ownWords(card, tool, history, () => { if (sets[0]) $('cue-to-give').replaceWith(cueToGive(card, sets[0].report, hurts)); }),
    sets[0] ? cueToGive(card, sets[0].report, hurts) : '',
    ...sets.map(({ set, report, differences }) => setSection(card, result, { set, report, differences }, again)),
    weeks);
  show('coach', { source: `${card.client}’s result` });
  // All weeks are computed again, which takes a while; what came today does not wait for it.
  weeks.replaceChildren(...await trendParts(history, () => weeks.isConnected));
}

/** The coach's own cue where there is one, the tool's otherwise, and what goes with a cue. @param {DeskCard} card @param {any} report @param {boolean} hurts then the tool gives none */
function cueToGive(card, report, hurts) {
  if (hurts && !card.cue) return el('div', { id: 'cue-to-give' }, adviceCard(report));
  const own = card.cue ? { ...report, cue: { ...report.cue, text: card.cue, side: null } } : report;
  return el('div', { id: 'cue-to-give' }, cueCard(own), card.cue ? el('p', { class: 'hint' }, `Your cue. The tool says: ${report.cue.text}`) : null, adviceCard(report));
}

/** @param {DeskCard} card @param {string} tool the tool's cue @param {DeskCard[]} history @param {() => void} changed the cue */
function ownWords(card, tool, history, changed) {
  const said = el('span', { role: 'status', class: 'hint' });
  let waiting = 0;
  const save = async () => {
    clearTimeout(waiting);
    waiting = 0;
    await keep(card);
    said.textContent = 'Kept.';
  };
  const forAll = el('button', { type: 'button', class: 'plain', id: 'name-all', hidden: true, onclick: guarded(async () => {
    for (const other of history) await keep(Object.assign(other, { client: card.client }));
    forAll.hidden = true;
    said.textContent = `All ${history.length} results are kept under ${card.client}.`;
  }) }, `Give all ${history.length} results this name`);
  const field = (/** @type {'note' | 'cue' | 'client'} */ key, /** @type {string} */ label, /** @type {string} */ placeholder, /** @type {string} */ hint = '') => {
    const input = el('input', { type: 'text', value: card[key], maxlength: OWN_MAX[key], name: `own-${key}`, placeholder });
    // Kept while it is typed: a closed tab must not take a note along.
    input.addEventListener('input', () => {
      card[key] = input.value.trim() || (key === 'client' ? card.nickname || NO_NAME : '');
      if (key === 'cue') changed();
      if (key === 'client') {
        $('coach-title').textContent = `${card.client}, ${dayWords(card.day)}`;
        forAll.hidden = history.length < 2;
      }
      said.textContent = '';
      clearTimeout(waiting);
      waiting = setTimeout(guarded(save), TYPING_MS);
    });
    input.addEventListener('change', () => { if (waiting) guarded(save)(); });
    return el('label', { class: 'field' }, label, input, hint ? el('small', {}, hint) : null);
  };
  return el('div', {}, el('div', { class: 'two-up own-words' },
    field('cue', 'Your cue, instead of the tool’s', tool),
    field('note', 'Your note, for yourself', ''),
    field('client', 'Kept under the name', card.nickname || NO_NAME, history.length > 1 ? 'Changes this result; the others on request.' : 'Their next results will come under this name too.')), forAll, said);
}

/**
 * @param {DeskCard} card
 * @param {import('./desk-store.js').SentResult} result
 * @param {{ set: import('../share/result-file.js').SentSet, report: any, differences: string[] }} one
 * @param {() => void} again shows this result
 */
function setSection(card, result, { set, report, differences }, again) {
  const replay = () => showResult(
    /** @type {any} */ ({ id: card.id, name: card.client, source: `${card.client}’s result`, made: result.day, recording: set.recording, report, thresholds: set.thresholds, made_with: result.made_with }),
    [{ label: 'Back to the result', act: again }, { label: 'Back to the desk', act: guarded(() => showDesk()) }]);
  const changed = Object.keys(set.thresholds).length;
  const other = otherThanAsked(report, set.wanted, result.check?.reps ?? 0);
  const asked = /** @type {Record<string, string>} */ (VIEW_WORDS)[set.wanted];
  return el('section', {}, el('h2', {}, asked ?? 'As filmed'),
    el('p', { class: 'hint' }, viewWords(report.view)),
    other ? el('p', { class: 'slip' }, other) : '',
    differences.length
      ? el('p', { class: 'slip' }, `Computed again with today’s version; the client’s version (${result.made_with || 'unknown'}) said otherwise. ${differences.join('; ')}.`)
      : el('p', { class: 'same-numbers' }, 'Computed again: equal to the client’s numbers.'),
    changed ? el('p', {}, `${changed} fault ${changed === 1 ? 'line was' : 'lines were'} changed for this check.`) : '',
    el('p', {}, report.finding.sentence),
    el('p', { class: 'actions' }, el('button', { type: 'button', class: 'plain', onclick: guarded(replay) }, 'Replay and curves')),
    repTable(report, guarded(replay)));
}

/** @param {DeskCard} card */
async function remove(card) {
  if (!window.confirm('Delete this result from the desk? It can’t be brought back.')) return;
  await discard(card.id);
  await showDesk('Deleted.');
}
