// @ts-check
/** One screen at a time, each at an address of its own; the title block at the foot of the page says which. */
import { $ } from './dom.js';
import { clearTrouble } from './trouble.js';

const NAMES = /** @type {const} */ ({
  start: 'Start',
  work: 'Reading',
  live: 'Set',
  result: 'Result',
  records: 'Saved sets',
  coach: 'Coach’s desk',
  asked: 'A check',
});
/** Where a screen is when its caller names no address; those that are missing stay where they are. @type {Partial<Record<Screen, string>>} */
const ADDRESSES = { start: '', work: '#/reading', live: '#/set', records: '#/saved', coach: '#/coach' };
/** @typedef {keyof typeof NAMES} Screen */
/**
 * @typedef {object} Shown
 * @property {Screen} name
 * @property {string} source
 * @property {string} at address, the part from `#` on; '' for the start
 * @property {boolean} passing
 * @property {(() => void) | null} leave
 * @property {string} ask what to ask before it is left, since something would be lost
 */

/** @type {Shown} */
let now = { name: 'start', source: '', at: location.hash, passing: false, leave: null, ask: '' };
const START_TITLE = document.title;
/** What is kept under a screen that only passes: if its work fails, what was on screen is still there. @type {Shown | null} */
let under = null;
/** A step back in the history that this page took itself. */
let ownStep = false;

/**
 * @param {Screen} name
 * @param {{ source?: string, at?: string, onLeave?: () => void, ask?: string, keepTrouble?: boolean, passing?: boolean }} [options] at: its address, from `#` on;
 *   onLeave: what to stop then; ask: the question before something is lost by leaving; passing: `back()` brings the screen before it back as it was
 */
export function show(name, options = {}) {
  const leaving = now;
  const waiting = under;
  const passing = options.passing ?? false;
  const at = options.at ?? ADDRESSES[name] ?? location.hash;
  now = { name, source: options.source ?? leaving.source, at, passing, leave: options.onLeave ?? null, ask: options.ask ?? '' };
  if (passing) {
    if (waiting) leaving.leave?.();
    else under = leaving;
  } else {
    under = null;
    leaving.leave?.();
    waiting?.leave?.();
  }
  // Nothing is to be come back to where work has passed.
  if (at !== location.hash) history[leaving.passing ? 'replaceState' : 'pushState'](null, '', at || location.pathname + location.search);
  place(options.keepTrouble);
}

/** Ends a passing screen: what was there before it is shown again. */
export function back() {
  const { leave, at } = now;
  now = under ?? { name: 'start', source: '', at: '', passing: false, leave: null, ask: '' };
  under = null;
  leave?.();
  if (location.hash === at && at !== now.at) {
    ownStep = true;
    history.back();
  }
  place();
}

/** Changes what is asked before the screen is left. @param {string} question */
export function askBeforeLeaving(question) {
  now.ask = question;
}

/** Whether the screen may be left: asks where something would be lost. */
export function mayLeave() {
  return !now.ask || window.confirm(now.ask);
}

/**
 * Follows the reader's own steps through the history.
 * @param {(at: string, from: Screen) => void} go shows what is at an address
 */
export function followHistory(go) {
  const moved = () => {
    if (ownStep) {
      ownStep = false;
      return;
    }
    if (location.hash === now.at) return;
    if (mayLeave()) go(location.hash, now.name);
    else history.pushState(null, '', now.at);
  };
  addEventListener('popstate', moved);
  addEventListener('beforeunload', (event) => {
    if (now.ask) event.preventDefault();
  });
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
  document.title = now.name === 'start' ? START_TITLE : `${NAMES[now.name]} · Underfoot`;
  const title = $(now.name).querySelector('h1');
  if (title instanceof HTMLElement) title.focus({ preventScroll: true });
  window.scrollTo(0, 0);
  coming.get(now.name)?.();
}
