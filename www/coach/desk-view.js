// @ts-check
/** The coach's desk: clients, their results over the weeks, and the next check. */
import { $, announce, el } from '../app/dom.js';
import { show } from '../app/screens.js';
import { showTrouble } from '../app/trouble.js';
import { showMakeCheck } from './make-check.js';
import { entries, receive } from './desk-store.js';
import { exportDesk, importDesk } from './desk-file.js';
import { showEntry } from './entry-view.js';
import { dayWords } from './words.js';

/** @typedef {import('./desk-store.js').OpenEntry} OpenEntry */

/** @param {() => Promise<unknown>} act @returns {() => void} */
const guarded = (act) => () => { act().catch(showTrouble); };

/**
 * Takes result and desk files in, several at once; a bad one does not keep the others out.
 * @param {File[]} files
 */
export async function takeIn(files) {
  /** @type {string[]} */
  const refused = [];
  let taken = 0;
  for (const file of files) {
    try {
      const bytes = new Uint8Array(await file.arrayBuffer());
      taken += file.name.endsWith('.underfoot-desk') ? await importDesk(bytes) : await receive(bytes).then(() => 1);
    } catch (error) {
      refused.push(`${file.name}: ${/** @type {Error} */ (error).message}`);
    }
  }
  await showDesk([`${taken} ${taken === 1 ? 'result' : 'results'} taken in.`, ...refused].join(' '));
}

/** @param {string} [said] */
export async function showDesk(said = '') {
  const all = await entries();
  /** @type {Map<string, OpenEntry[]>} */
  const clients = new Map();
  for (const entry of all) clients.set(entry.client, [...(clients.get(entry.client) ?? []), entry]);
  const pick = el('input', { type: 'file', id: 'pick-results', multiple: true, accept: '.underfoot,.underfoot-desk', hidden: true });
  pick.addEventListener('change', guarded(() => takeIn([...(pick.files ?? [])])));
  $('coach').replaceChildren(
    el('h1', { id: 'coach-title', tabindex: '-1' }, 'Coach’s desk'),
    el('p', {}, 'Make a check, send the link, and open what comes back here. Everything stays in this browser.'),
    el('p', { role: 'status', id: 'desk-said' }, said),
    el('p', { class: 'actions' },
      el('button', { type: 'button', id: 'desk-make', onclick: () => showMakeCheck() }, 'Make a check'),
      el('button', { type: 'button', class: 'plain', onclick: () => pick.click() }, 'Open results'), pick,
      all.length ? el('button', { type: 'button', class: 'plain', onclick: guarded(exportDesk) }, 'Export all as one file') : null),
    ...(clients.size ? [...clients].map(([name, list]) => client(name, list)) : [el('p', { class: 'slip' }, 'No results yet. You can also drop several result files on this page.')]));
  show('coach', { source: 'clients’ results' });
  if (said) announce(said);
}

/** @param {string} name @param {OpenEntry[]} list oldest first */
function client(name, list) {
  return el('section', { class: 'client' }, el('h2', {}, name),
    el('ul', { class: 'entries' }, ...[...list].reverse().map((entry) => {
      const kinds = entry.result.sets.map((set) => /** @type {any} */ (set.report).finding?.sentence).filter((s) => typeof s === 'string');
      return el('li', {}, el('button', { type: 'button', class: 'plain', onclick: guarded(() => showEntry(entry, list)) }, dayWords(entry.result.day)),
        el('span', {}, ` ${entry.result.sets.length} ${entry.result.sets.length === 1 ? 'set' : 'sets'}. `, kinds[0]?.slice(0, 160) ?? ''),
        entry.note ? el('small', {}, `Your note: ${entry.note}`) : null);
    })));
}
