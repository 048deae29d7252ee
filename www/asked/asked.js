// @ts-check
/** The check that this page was opened with, and the sets taken for it so far; remembered, so that a closed tab loses none. */
import { recall, remember } from '../app/memory.js';
import { kept } from '../records/store.js';
import { decodeCheck } from '../share/check-link.js';

/** @typedef {import('../share/check-link.js').Check} Check */
/** @typedef {import('../app/types.js').KeptSet} KeptSet */

/**
 * @typedef {object} Asked
 * @property {Check} check
 * @property {string} fragment it came in
 * @property {Map<Check['views'][number], KeptSet>} taken by the view they are for
 * @property {Check['views'][number] | null} now the view being filmed
 * @property {string} note to the coach, so far
 */

const KEY = 'asked';
/** Checks remembered, the latest first. */
const MOST = 8;
/** The sets themselves are among the kept ones. @typedef {{ fragment: string, taken: [Check['views'][number], string][], note: string }} Memo */

/** @type {Asked | null} */
let current = null;

/** @returns {Memo[]} */
function memos() {
  return /** @type {Memo[]} */ (recall(KEY, /** @type {object} */ ([])));
}

/**
 * Takes up a check, with what was taken for it before.
 * @param {{ fragment: string, check: Check }} link
 */
export async function startAsked({ fragment, check }) {
  if (current?.fragment === fragment) return;
  const memo = memos().find((m) => m.fragment === fragment);
  /** @type {Asked} */
  const opened = { check, fragment, taken: new Map(), now: null, note: memo?.note ?? '' };
  for (const [view, id] of memo?.taken ?? []) {
    const set = await kept(id).catch(() => null);
    if (set) opened.taken.set(view, set);
  }
  current = opened;
  rememberAsked();
}

export function asked() {
  return current;
}

export function rememberAsked() {
  if (!current) return;
  const { fragment, taken, note } = current;
  const memo = { fragment, taken: [...taken].map(([view, set]) => [view, set.id]), note };
  remember(KEY, [memo, ...memos().filter((m) => m.fragment !== fragment)].slice(0, MOST));
}

/** Checks that were not left, in this visit or before. @returns {{ fragment: string, coach: string, views: number, taken: number }[]} */
export function checksBefore() {
  return memos().flatMap(({ fragment, taken }) => {
    try {
      const { coach, views } = decodeCheck(fragment);
      return [{ fragment, coach, views: views.length, taken: taken.length }];
    } catch {
      return [];
    }
  });
}

/** What the coach's check changes in how a set is judged. @returns {{ thresholds?: Check['thresholds'] }} */
export function checkOptions() {
  const thresholds = current?.check.thresholds ?? {};
  return Object.keys(thresholds).length ? { thresholds } : {};
}

/** What the coach wants to look at: kept with the set, and shown in its result. @returns {{ checks?: Check['checks'] }} */
export function checksWanted() {
  return current ? { checks: current.check.checks } : {};
}

export function leaveAsked() {
  const left = current?.fragment;
  current = null;
  remember(
    KEY,
    memos().filter((m) => m.fragment !== left),
  );
}
