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

export function leaveAsked() {
  current = null;
}
