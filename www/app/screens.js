// @ts-check
/** One screen at a time; the title block at the foot of the sheet says which. */
import { $ } from './dom.js';
import { clearTrouble } from './trouble.js';

const NAMES = /** @type {const} */ ({ start: 'Start', work: 'Reading', live: 'Set', result: 'Result', records: 'Kept sets', coach: 'Coach’s desk', asked: 'A check' });
/** @typedef {keyof typeof NAMES} Screen */
/** @typedef {{ name: Screen, source: string, leave: (() => void) | null }} Shown */

/** @type {Shown} */
let now = { name: 'start', source: '', leave: null };
/** What is kept under a screen that only passes: if its work fails, what was on screen is still there. @type {Shown | null} */
let under = null;

/**
 * @param {Screen} name
 * @param {{ source?: string, onLeave?: () => void, keepTrouble?: boolean, passing?: boolean }} [options] onLeave: what to stop
 *   then; passing: `back()` brings the screen before it back as it was
 */
export function show(name, options = {}) {
  const leaving = now;
  const waiting = under;
  now = { name, source: options.source ?? leaving.source, leave: options.onLeave ?? null };
  if (options.passing) {
    if (waiting) leaving.leave?.();
    else under = leaving;
  } else {
    under = null;
    leaving.leave?.();
    waiting?.leave?.();
  }
  place(options.keepTrouble);
}

/** Ends a passing screen: what was there before it is shown again. */
export function back() {
  const { leave } = now;
  now = under ?? { name: 'start', source: '', leave: null };
  under = null;
  leave?.();
  place();
}

/** What to do when a screen comes up. @type {Map<Screen, () => unknown>} */
const coming = new Map();

/** @param {Screen} name @param {() => unknown} act */
export function whenShown(name, act) {
  coming.set(name, act);
}

/** @param {boolean} [keepTrouble] */
function place(keepTrouble = false) {
  if (!keepTrouble) clearTrouble();
  for (const key of Object.keys(NAMES)) $(key).hidden = key !== now.name;
  // What played or ran there is over; two screens must not hold the same controls.
  if (now.name !== 'live') {
    $('live').replaceChildren();
    $('live').classList.remove('counting');
  }
  $('block-sheet').textContent = NAMES[now.name];
  $('block-source').textContent = now.source || 'nothing yet';
  document.body.dataset.screen = now.name;
  const title = $(now.name).querySelector('h1');
  if (title instanceof HTMLElement) title.focus({ preventScroll: true });
  window.scrollTo(0, 0);
  coming.get(now.name)?.();
}
