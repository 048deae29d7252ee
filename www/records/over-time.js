// @ts-check
/** How each check of one person runs from set to set. */
import { el } from '../app/dom.js';
import { core } from '../app/core.js';
import { recall, remember } from '../app/memory.js';
import { filmedAt } from '../result/set-facts.js';
import { notHelped } from './not-helped.js';
import { trendSheet } from './trend-plot.js';

/** @typedef {import('./store.js').Card} Card */

/** A day in ms, for sets that share one. */
const DAY_MS = 86_400_000;

/** The day of a set, counted; sets of one day are one occasion. @param {Card} card */
export function dayNumber(card) {
  return Math.floor(Date.parse(filmedAt(card)) / DAY_MS);
}

/** What the package compares: a report each, with its day. @param {Card[]} sets oldest first */
export async function changesOf(sets) {
  const { compare } = await core();
  return compare(sets.map((card) => ({ ...card.report, day: dayNumber(card) })));
}

/**
 * @param {Card[]} all newest first
 * @returns {{ root: HTMLElement | null, dispose: () => void }} null when nobody has two sets yet
 */
export function overTime(all) {
  const people = peopleOf(all).filter(([, sets]) => sets.length > 1);
  if (!people.length) return { root: null, dispose: () => {} };
  const kept = recall('over-time', '');
  let whose = people.some(([name]) => name === kept) ? kept : people[0][0];
  let dispose = () => {};
  const place = el('div', {});
  const draw = async () => {
    const sets = [...(people.find(([name]) => name === whose)?.[1] ?? [])].reverse();
    const changes = await changesOf(sets);
    const sheet = trendSheet(
      sets.map((card) => ({ ...card, made: filmedAt(card) })),
      changes,
    );
    dispose();
    ({ dispose } = sheet);
    place.replaceChildren(notHelped(sets, changes) ?? '', sheet.root);
  };
  const choice =
    people.length > 1
      ? el(
          'label',
          { class: 'field whose' },
          'Whose sets',
          el(
            'select',
            {
              onchange: (/** @type {any} */ event) => {
                whose = event.target.value;
                remember('over-time', whose);
                draw();
              },
            },
            ...people.map(([name, sets]) => el('option', { value: name, selected: name === whose }, `${name || 'without a name'} (${sets.length})`)),
          ),
        )
      : null;
  const root = el(
    'section',
    { class: 'over-time', 'aria-labelledby': 'over-time-title' },
    el('h2', { id: 'over-time-title' }, 'Over time'),
    el(
      'p',
      {},
      'Each dot is the mean of a set; the latest has a ring. Inside the band nothing has really changed: only a set outside it is a real difference.',
    ),
    choice,
    place,
  );
  draw();
  return { root, dispose: () => dispose() };
}

/** By the name that was typed. @param {Card[]} all @returns {[string, Card[]][]} those with the latest set first */
function peopleOf(all) {
  /** @type {Map<string, Card[]>} */
  const people = new Map();
  for (const card of all) people.set(card.name.trim(), [...(people.get(card.name.trim()) ?? []), card]);
  return [...people];
}
