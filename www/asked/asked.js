// @ts-check
/** The check that this page was opened with, and the sets taken for it so far. */

/** @typedef {import('../share/check-link.js').Check} Check */
/** @typedef {import('../app/types.js').KeptSet} KeptSet */

/**
 * @typedef {object} Asked
 * @property {Check} check
 * @property {Map<Check['views'][number], KeptSet>} taken by the view they are for
 * @property {Check['views'][number] | null} now the view being filmed
 */

/** @type {Asked | null} */
let current = null;

/** @param {Check} check */
export function startAsked(check) {
  current = { check, taken: new Map(), now: null };
  return current;
}

export function asked() {
  return current;
}

/** What the coach's check changes in how a set is judged. */
export function checkOptions() {
  const thresholds = current?.check.thresholds ?? {};
  return Object.keys(thresholds).length ? { thresholds } : {};
}

export function leaveAsked() {
  current = null;
}
