// @ts-check
/** One screen at a time; the title block at the foot of the sheet says which. */
import { $ } from './dom.js';
import { clearTrouble } from './trouble.js';

const NAMES = /** @type {const} */ ({ start: 'Start', work: 'Reading', live: 'Set', result: 'Result', records: 'Kept sets', coach: 'Coach’s desk', asked: 'A check' });
/** @typedef {keyof typeof NAMES} Screen */

/** @type {(() => void) | null} what to stop when the screen is left */
let leave = null;

/**
 * @param {Screen} name
 * @param {{ source?: string, onLeave?: () => void, keepTrouble?: boolean }} [options]
 */
export function show(name, options = {}) {
  const leaving = leave;
  leave = null;
  leaving?.();
  leave = options.onLeave ?? null;
  if (!options.keepTrouble) clearTrouble();
  for (const key of Object.keys(NAMES)) $(key).hidden = key !== name;
  // What played or ran there is over; two screens must not hold the same controls.
  if (name !== 'live') $('live').replaceChildren();
  $('block-sheet').textContent = NAMES[name];
  if (options.source) $('block-source').textContent = options.source;
  document.body.dataset.screen = name;
  const title = $(name).querySelector('h1');
  if (title instanceof HTMLElement) title.focus({ preventScroll: true });
  window.scrollTo(0, 0);
}

/** @returns {string} */
export function current() {
  return document.body.dataset.screen ?? 'start';
}
