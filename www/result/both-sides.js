// @ts-check
/** Two sets of one check, filmed from different sides: each check is taken from the set that could judge it. */
import { CHECKS, SIDES, markOf, rows } from './words.js';

/** @typedef {import('../app/types.js').KeptSet} KeptSet */
/** @typedef {'fault' | 'clear' | 'unsure' | 'unseen'} Verdict */
/**
 * @typedef {object} Taken one check, from the set that judged it best
 * @property {import('./words.js').CheckWords} check
 * @property {'left' | 'right' | null} side
 * @property {string} name
 * @property {Verdict} verdict
 * @property {number} from which set, 0 or 1
 * @property {any} worst its mark that lies furthest out; null when unseen
 * @property {number} faults repetitions with a fault
 * @property {number} reps of that set
 */

/** Findings that name a fault. */
const FAULTS = ['forward', 'inward', 'forward-inward', 'outward', 'sideways'];

/** @param {any} report @returns {string[]} names of the checks that were not judged on both feet, as a person says them */
export function missing(report) {
  if (!report.reps.length) return [];
  return CHECKS.filter((check) => (check.sided ? SIDES : /** @type {const} */ ([null])).some((side) => !judged(marksOf(report, check, side)))).map(
    (check) => check.row,
  );
}

/** @param {any} report @param {import('./words.js').CheckWords} check @param {'left' | 'right' | null} side @returns {any[]} */
const marksOf = (report, check, side) => report.reps.map((/** @type {any} */ rep) => markOf(rep, check, side));
const sure = (/** @type {any} */ { verdict }) => verdict === 'fault' || verdict === 'clear';
/** In most repetitions, as in the report. @param {any[]} marks */
const judged = (marks) => 2 * marks.filter(sure).length > marks.length;

/** @param {[any, any]} reports @returns {Taken[]} */
export function together(reports) {
  return rows().map(({ check, side, name }) => {
    const marks = reports.map((report) => marksOf(report, check, side));
    // A fault that one side showed is not made good by what the other could not see of it.
    const bad = marks.map((all) => all.filter((m) => m.verdict === 'fault').length);
    const share = marks.map((all) => (all.length ? all.filter(sure).length / all.length : 0));
    const sd = marks.map((all) => Math.min(Infinity, ...all.map((m) => m.sd ?? Infinity)));
    const from = Boolean(bad[0]) !== Boolean(bad[1]) ? Number(bad[1] > 0) : share[0] !== share[1] ? Number(share[1] > share[0]) : Number(sd[1] < sd[0]);
    const seen = marks[from].filter((m) => m.verdict !== 'unseen');
    const faults = seen.filter((m) => m.verdict === 'fault').length;
    /** @type {Verdict} */
    const verdict = !seen.length ? 'unseen' : faults ? 'fault' : judged(marks[from]) ? 'clear' : 'unsure';
    const worst = seen.length ? seen.reduce((a, b) => ((b.score ?? 0) > (a.score ?? 0) ? b : a)) : null;
    return { check, side, name, verdict, from, worst, faults, reps: marks[from].length };
  });
}

/** The set whose cue is given: one that found a fault, the surer of two; with none, the one that judged more. @param {[any, any]} reports @returns {0 | 1} */
export function leading(reports) {
  const [a, b] = reports.map(({ finding }) => (FAULTS.includes(finding.kind) ? 1 + (finding.confidence ?? 0) : 0));
  if (a !== b) return a > b ? 0 : 1;
  return missing(reports[1]).length < missing(reports[0]).length ? 1 : 0;
}
