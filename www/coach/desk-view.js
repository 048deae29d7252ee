// @ts-check
/** The coach's desk: clients, their results over the weeks, and the next check. */
import { $, announce, el } from '../app/dom.js';
import { show } from '../app/screens.js';
import { sentence, showTrouble } from '../app/trouble.js';
import { showMakeCheck } from './make-check.js';
import { cards } from './desk-store.js';
import { exportDesk, takeFile } from './desk-file.js';
import { showEntry } from './entry-view.js';
import { dayWords } from './words.js';

/** @typedef {import('./desk-store.js').DeskCard} DeskCard */

/** @param {() => Promise<unknown>} act @returns {() => void} */
const guarded = (act) => () => { act().catch(showTrouble); };

/** @param {number} n */
const results = (n) => `${n} ${n === 1 ? 'result' : 'results'}`;

/** Each once, with how often. @param {string[]} sentences */
function counted(sentences) {
  const times = new Map();
  for (const s of sentences) times.set(s, (times.get(s) ?? 0) + 1);
  return [...times].map(([s, n]) => (n > 1 ? `${s} (${n} times)` : s));
}

/**
 * Takes result and desk files in, several at once; a bad one does not keep the others out.
 * @param {File[]} files
 */
export async function takeIn(files) {
  /** @type {string[]} */
  const refused = [];
  /** @type {string[]} */
  const doubts = [];
  let added = 0;
  let known = 0;
  await showDesk('Opening…');
  const say = $('desk-said');
  for (const [i, file] of files.entries()) {
    if (files.length > 1) say.textContent = `Opening ${i + 1} of ${files.length}…`;
    try {
      const counts = await takeFile(file, (done, all) => { say.textContent = `Opening ${file.name}: ${done + 1} of ${results(all)}…`; });
      added += counts.added;
      known += counts.known;
      doubts.push(...counts.doubts);
      refused.push(...counted(counts.bad).map((why) => `${file.name}: ${why}`));
    } catch (error) {
      refused.push(`${file.name}: ${sentence(error)}`);
    }
  }
  const said = [added || !known ? `${results(added)} taken in.` : '', known ? `${results(known)} ${known === 1 ? 'was' : 'were'} here already.` : ''].filter(Boolean).join(' ');
  await showDesk([said, ...refused, ...new Set(doubts)].join('\n'));
}

/** @param {string} [said] lines */
export async function showDesk(said = '') {
  const all = await cards();
  /** @type {Map<string, DeskCard[]>} */
  const clients = new Map();
  for (const card of all) clients.set(card.client, [...(clients.get(card.client) ?? []), card]);
  // No list of endings: phones offer files of an unknown kind only to a picker that takes any.
  const pick = el('input', { type: 'file', id: 'pick-results', multiple: true, hidden: true });
  pick.addEventListener('change', guarded(() => takeIn([...(pick.files ?? [])])));
  $('coach').replaceChildren(
    el('h1', { id: 'coach-title', tabindex: '-1' }, 'Coach’s desk'),
    el('p', {}, 'Make a check, send the link, and open what comes back here. Everything stays in this browser.'),
    el('p', { role: 'status', id: 'desk-said' }, said),
    el('p', { class: 'actions' },
      el('button', { type: 'button', id: 'desk-make', onclick: guarded(() => showMakeCheck()) }, 'Make a check'),
      el('button', { type: 'button', class: 'plain', onclick: () => pick.click() }, 'Open results'), pick,
      all.length ? el('button', { type: 'button', class: 'plain', id: 'desk-export', onclick: guarded(exportDesk) }, 'Export all as one file') : null),
    ...(clients.size ? newestFirst(clients).map(([name, list]) => client(name, list))
      : [el('p', { class: 'slip' }, 'No results yet. Clients send you files that end in .underfoot: open them here, or drop several at once on this page.')]));
  show('coach', { source: 'clients’ results' });
  if (said) announce(said);
}

/** The client whose result came last is the one to look at. @param {Map<string, DeskCard[]>} clients */
function newestFirst(clients) {
  const latest = (/** @type {DeskCard[]} */ list) => Math.max(...list.map((card) => card.taken));
  return [...clients].sort((a, b) => latest(b[1]) - latest(a[1]));
}

/** @param {string} name @param {DeskCard[]} list oldest first */
function client(name, list) {
  return el('section', { class: 'client' }, el('h2', {}, name),
    el('ul', { class: 'entries' }, ...[...list].reverse().map((card) => el('li', {},
      el('button', { type: 'button', class: 'plain', onclick: guarded(() => showEntry(card, list)) }, dayWords(card.day) || 'No day'),
      card.hurts ? el('b', { class: 'pain' }, 'Something hurts') : null,
      el('span', {}, ` ${card.sets} ${card.sets === 1 ? 'set' : 'sets'}. `, card.said),
      card.note ? el('small', {}, `Your note: ${card.note}`) : null,
      card.cue ? el('small', {}, `Your cue: ${card.cue}`) : null))));
}
