// @ts-check
/** Which moment of a set the picture stops at, and what is drawn on it. */
import { CHECKS, SIDES, markOf, said, sideName } from './words.js';

/** Checks that carry a finding, the plainest to look at first; knee and roll by the way they go. @type {Record<string, [string, -1 | 0 | 1][]>} */
const CARRIERS = {
  forward: [
    ['heel_lift_mm', 0],
    ['forward_pct', 0],
  ],
  inward: [
    ['knee_in_deg', 1],
    ['foot_roll_deg', 1],
  ],
  'forward-inward': [
    ['knee_in_deg', 1],
    ['heel_lift_mm', 0],
    ['foot_roll_deg', 1],
    ['forward_pct', 0],
  ],
  outward: [
    ['foot_roll_deg', -1],
    ['knee_in_deg', -1],
  ],
  sideways: [
    ['load_left_pct', 0],
    ['foot_roll_deg', 0],
    ['knee_in_deg', 0],
  ],
};
const RANK = ['unseen', 'clear', 'unsure', 'fault'];

/**
 * @typedef {object} Worst
 * @property {any} rep
 * @property {number} t_ms where the picture stops
 * @property {import('./words.js').CheckWords | null} check what is drawn; null when nothing is
 * @property {'left' | 'right' | null} side
 * @property {any} mark
 * @property {string} words what one sees, as a sentence
 */

/** The mark of a set that shows its finding best; with none, the knee of the deepest repetition. @param {any} report @returns {Worst | null} */
export function worstOf(report) {
  const { reps, finding } = report;
  if (!reps.length) return null;
  const carriers = CARRIERS[finding.kind] ?? [];
  const all = CHECKS.flatMap((check) =>
    (check.sided ? SIDES : /** @type {const} */ ([null])).flatMap((side) =>
      reps.map((/** @type {any} */ rep) => ({ rep, check, side, mark: markOf(rep, check, side) })),
    ),
  ).filter(({ mark }) => mark && mark.at_ms !== null && mark.value !== null);
  const weight = (/** @type {any} */ { check, mark, rep }) => {
    const place = carriers.findIndex(([key, way]) => key === check.key && (way === 0 || way * mark.value > 0));
    if (place < 0) return -1;
    return 1000 * RANK.indexOf(mark.verdict) + (finding.reps.includes(rep.index) ? 500 : 0) + (mark.score ?? 0) - 20 * place;
  };
  const best = all
    .map((one) => ({ ...one, weight: weight(one) }))
    .filter((one) => one.weight >= 1000)
    .sort((a, b) => b.weight - a.weight)[0];
  if (best) return { ...best, t_ms: best.mark.at_ms, words: sentence(best) };
  const rep = reps.find((/** @type {any} */ r) => r.index === finding.reps[0]) ?? [...reps].sort((a, b) => (b.depth ?? 0) - (a.depth ?? 0))[0];
  const seen = all.filter((one) => one.rep === rep && one.check.key === 'knee_in_deg' && one.mark.verdict !== 'unseen')[0];
  return { rep, t_ms: rep.bottom_ms, check: seen?.check ?? null, side: seen?.side ?? null, mark: seen?.mark ?? null, words: `Rep ${rep.index} at the bottom.` };
}

/** @param {{ rep: any, check: import('./words.js').CheckWords, side: 'left' | 'right' | null, mark: any }} one */
function sentence({ rep, check, side, mark }) {
  const where = side ? `${sideName(side)} ${check.part}` : check.part;
  return `Rep ${rep.index}, where it shows most: ${where} ${said(mark.value, check)}${mark.verdict === 'unsure' ? ', but that is not certain' : ''}.`;
}

/** What the lines on the picture mean. @type {Record<string, string>} */
export const LINES = {
  knee_in_deg: 'Dashed: the foot’s line, and where the knee would stand over it. Solid: the shin.',
  heel_lift_mm: 'Dashed: the floor as the foot stood on it. Solid: how far the heel came up.',
  foot_roll_deg: 'Dashed: the foot upright, as in standing. Solid: how it rolled.',
  forward_pct: 'Dashed: the weight in standing. Solid: where it went along the feet.',
  load_left_pct: 'Dashed: even weight. Solid: where it was.',
};
