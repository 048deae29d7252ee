// @ts-check
/** The list of kept sets. */
import { $, announce, el } from '../app/dom.js';
import { show } from '../app/screens.js';
import { Trouble, showTrouble } from '../app/trouble.js';
import { showComparison } from './compare-view.js';
import { dayOf } from './day.js';
import { filmedAt, loadWords } from '../result/set-facts.js';
import { sideWords } from '../result/words.js';
import { megabytes } from './film-choice.js';
import { overTime } from './over-time.js';
import { openSet } from './open-set.js';
import { cards, change, remove } from './store.js';
import { exportAll, importAll } from './transfer.js';

/** @typedef {import('./store.js').Card} Card */

/** @param {() => Promise<unknown>} act @returns {() => void} */
const guarded = (act) => () => {
  act().catch(showTrouble);
};

/** @param {Card[]} gone @param {string} question */
async function ask(gone, question) {
  if (!window.confirm(question)) return;
  await remove(gone.map((card) => card.id));
  announce('Deleted.');
  await showRecords();
}

/** @param {Card} card @param {Set<string>} chosen @param {() => void} changed */
function row(card, chosen, changed) {
  const { report } = card;
  const name = el('input', {
    type: 'text',
    value: card.name,
    maxlength: 80,
    'aria-label': `Name of the set of ${dayOf(filmedAt(card))}`,
    placeholder: 'no name',
  });
  name.addEventListener(
    'change',
    guarded(async () => {
      card.name = name.value.trim();
      await change(card.id, { name: card.name });
      announce('Renamed.');
    }),
  );
  const tick = el('input', {
    type: 'checkbox',
    id: `compare-${card.id}`,
    'aria-label': `Compare the set of ${dayOf(filmedAt(card))}`,
    onchange: (/** @type {any} */ event) => {
      if (event.target.checked) chosen.add(card.id);
      else chosen.delete(card.id);
      changed();
    },
  });
  return el(
    'tr',
    {},
    el('td', {}, tick),
    el(
      'td',
      {},
      name,
      dayField(card),
      el(
        'small',
        {},
        `${[...loadWords(card.setup ?? {}), sideWords(report.view)]
          .filter(Boolean)
          .map((w) => `${w}; `)
          .join('')}from ${card.source}${card.film_bytes === undefined ? '' : `; video saved, ${megabytes(card.film_bytes)}`}`,
      ),
    ),
    el('td', {}, String(report.reps.length)),
    el('td', {}, report.finding.sentence || 'Not enough seen.'),
    el(
      'td',
      {},
      el('button', { type: 'button', class: 'plain', onclick: guarded(() => openSet(card.id)) }, 'Open'),
      card.with
        ? el(
            'button',
            {
              type: 'button',
              class: 'plain',
              onclick: guarded(async () => (await import('../flows/both.js')).openBoth([card.id, /** @type {string} */ (card.with)])),
            },
            'Both sides',
          )
        : null,
      el('button', { type: 'button', class: 'plain', onclick: guarded(() => ask([card], 'Delete this set? It can’t be brought back.')) }, 'Delete'),
    ),
  );
}

/** The day it was filmed, which a file may have wrong. @param {Card} card */
function dayField(card) {
  const at = new Date(filmedAt(card));
  const local = new Date(at.getTime() - at.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
  const input = el('input', { type: 'date', value: local, 'aria-label': `Day on which the set of ${dayOf(filmedAt(card))} was filmed` });
  input.addEventListener(
    'change',
    guarded(async () => {
      if (!input.value) return;
      await change(card.id, { filmed: new Date(`${input.value}T12:00:00`).toISOString() });
      announce('Day changed.');
      await showRecords();
    }),
  );
  return input;
}

/** Imports with the list on screen. @param {File} file that `exportAll` made */
export async function takeExport(file) {
  await showRecords();
  const { added, known, bad, filmless } = await importAll(file, (done, all) => {
    $('records-said').textContent = `Importing set ${done + 1} of ${all}…`;
  });
  await showRecords();
  $('records-said').textContent =
    `${added} imported, ${known} already here${bad ? `, ${bad} could not be read and were left out` : ''}${filmless ? `; the video of ${filmless} could not be read` : ''}.`;
}

/** Chosen sets side by side, below the list. @param {string[]} ids */
export async function compareSets(ids) {
  await showRecords(`#/saved/${ids.join(',')}`);
  const chosen = (await cards()).filter((card) => ids.includes(card.id));
  if (chosen.length < 2) throw new Trouble('These sets are not on this device (any more): choose two others.');
  for (const { id } of chosen) /** @type {HTMLInputElement} */ ($(`compare-${id}`)).click();
  await showComparison(chosen);
}

/** @param {string} [at] its address */
export async function showRecords(at) {
  const all = await cards();
  /** @type {Set<string>} */
  const chosen = new Set();
  const compare = el('button', { type: 'button', disabled: true, onclick: guarded(() => compareSets([...chosen])) }, 'Compare selected sets');
  const pick = el('input', { type: 'file', id: 'pick-import', accept: '.zip,.gz,.json,application/zip,application/gzip,application/json', hidden: true });
  pick.addEventListener(
    'change',
    guarded(async () => {
      const file = pick.files?.[0];
      if (file) await takeExport(file);
    }),
  );
  const list = all.length
    ? el(
        'div',
        { class: 'table-scroll', tabindex: '0', role: 'region', 'aria-label': 'Saved sets' },
        el(
          'table',
          { class: 'reps kept' },
          el(
            'thead',
            {},
            el(
              'tr',
              {},
              ...['Compare', 'Set', 'Reps', 'What it showed', ''].map((t) =>
                el('th', { scope: 'col' }, t || el('span', { class: 'visually-hidden' }, 'Actions')),
              ),
            ),
          ),
          el(
            'tbody',
            {},
            ...all.map((card) =>
              row(card, chosen, () => {
                compare.disabled = chosen.size < 2;
              }),
            ),
          ),
        ),
      )
    : el('p', { class: 'slip' }, 'No sets yet. Every set you measure is saved here, on this device only; its video only if you choose to.');
  const trends = overTime(all);
  $('records').replaceChildren(
    el('h1', { id: 'records-title', tabindex: '-1' }, 'Saved sets'),
    el('p', { id: 'records-said', role: 'status' }),
    list,
    el(
      'p',
      { class: 'actions' },
      all.length > 1 ? compare : null,
      all.length ? el('button', { type: 'button', class: 'plain', onclick: guarded(exportAll) }, 'Export all as one file') : null,
      el('button', { type: 'button', class: 'plain', onclick: () => pick.click() }, 'Import'),
      pick,
      all.length
        ? el(
            'button',
            { type: 'button', class: 'plain', onclick: guarded(() => ask(all, `Delete all ${all.length} sets? They can’t be brought back.`)) },
            'Delete all',
          )
        : null,
    ),
    el('div', { id: 'comparison' }),
    trends.root ?? '',
  );
  show('records', { source: 'this device', at, onLeave: trends.dispose });
}
