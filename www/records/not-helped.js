// @ts-check
/** What to try when two weeks of a cue changed nothing: stance, shoes, ankles. Common practice, no source. */
import { el } from '../app/dom.js';
import { filmedAt } from '../result/set-facts.js';

/** @typedef {import('./store.js').Card} Card */
/** @typedef {import('../pkg/index.js').Change} Change */

const DAY_MS = 86_400_000;
const TWO_WEEKS = 14 * DAY_MS;

/** @type {Record<string, string[]>} by finding */
const TRY = {
  forward: [
    'Shoes: squat barefoot or in flat shoes for a week; if the heels still come up, try shoes with a raised heel.',
    'Ankles: kneel with one foot forward and take the knee over the toes, heel down, ten slow times a side before the set.',
    'Stance: a little wider, toes turned out a little more, and stop where the heels want to rise.',
  ],
  inward: [
    'Stance: a little narrower, or toes turned out a little more, so that the knees have room to go over the toes.',
    'Load: take a fifth off the bar and go down slowly, three seconds, for two weeks.',
    'Feet: squat barefoot or in flat, hard shoes, where you can feel both edges of the foot.',
  ],
  outward: [
    'Stance: a little wider, or toes turned out a little less, so that the knees need not be pushed so far.',
    'Feet: squat barefoot or in flat, hard shoes, where you can feel the big toe on the floor.',
  ],
  sideways: [
    'Stance: check on video that both feet are turned out alike and stand level with each other.',
    'Bar: check that it is loaded alike and centred on the back.',
    'Legs one at a time: split squats with the lighter side first, for two weeks.',
  ],
};
TRY['forward-inward'] = [TRY.forward[0], TRY.forward[1], TRY.inward[0]];

/** Checks that carry a finding. @type {Record<string, string[]>} */
const CARRIERS = {
  forward: ['heel_lift_mm', 'forward_pct'],
  inward: ['knee_in_deg', 'foot_roll_deg'],
  'forward-inward': ['heel_lift_mm', 'knee_in_deg', 'foot_roll_deg'],
  outward: ['knee_in_deg', 'foot_roll_deg'],
  sideways: ['load_left_pct', 'foot_roll_deg'],
};

/**
 * @param {Card[]} sets of one person, oldest first
 * @param {Change[]} changes
 * @returns {HTMLElement | null} null when nothing was practised in vain for so long
 */
export function notHelped(sets, changes) {
  const last = /** @type {Card} */ (sets.at(-1));
  const { kind } = last.report.finding;
  const since = sets.filter(({ report }) => report.finding.kind === kind).map((card) => Date.parse(filmedAt(card)));
  if (!TRY[kind] || Date.parse(filmedAt(last)) - Math.min(...since) < TWO_WEEKS) return null;
  if (changes.some(({ check, outcome }) => CARRIERS[kind].includes(check) && outcome === 'better')) return null;
  return el(
    'section',
    { class: 'slip not-helped' },
    el('h3', {}, 'The same finding after two weeks: things to try'),
    el('ul', {}, ...TRY[kind].map((text) => el('li', {}, text))),
    el(
      'p',
      {},
      'One at a time, for a week each; this is common practice, not a rule. If it hurts, or an ankle or foot has lost movement, see a licensed clinician. A coach who sees you lift knows more than this page.',
    ),
  );
}
