// @ts-check
/** How a set compares with those before it, in words. */

/** @typedef {import('../pkg/index.js').Change} Change */

/** Word and shape. @type {Record<Change['outcome'], [string, string]>} */
const OUTCOMES = { better: ['better', 'o-better'], worse: ['worse', 'o-worse'], 'no-real-change': ['no real change', 'o-same'] };

/** @param {Change} change @returns {[string, string]} word and shape */
export function outcomeOf({ outcome, view_changed }) {
  return view_changed ? ['not compared: the camera was moved', 'v-unseen'] : OUTCOMES[outcome];
}

/** What the comparison rests on, each sentence once; a published variation is a typical one too. @param {Change[]} changes */
export function basesOf(changes) {
  return [...new Set(changes.map((c) => c.basis_sentence.replace('the published', 'a typical')))];
}
