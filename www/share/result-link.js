// @ts-check
/** A result as a link: the summary only, for a message or a QR code. */
import { CHECKS, VIEWS } from './check-link.js';
import { fromFragment, open, seal, toFragment } from './envelope.js';
import { day, list, maybe, nameAt, real, truth, whole } from './fields.js';
import { cleanText } from './text.js';

const MARK = 'result';
/** 1: without `hurts` and `not_judged`. */
const VERSION = 2;
/** In these orders for ever: links hold indices. */
const FINDINGS = /** @type {const} */ (['none', 'not-enough-seen', 'forward', 'inward', 'forward-inward', 'outward', 'sideways', 'not-squats']);
const SIDES = /** @type {const} */ (['left', 'right', 'both']);
const VERDICTS = /** @type {const} */ (['clear', 'unsure', 'fault', 'unseen']);
const SIDED = new Set(['heel_lift_mm', 'knee_in_deg', 'foot_roll_deg']);

/**
 * @typedef {object} CheckSummary one check on one side over the set
 * @property {string} check
 * @property {'left' | 'right' | null} side
 * @property {number} median of the repetitions in which it was seen, in the check's unit
 * @property {number} sd median standard error
 * @property {number} reps in which it was seen
 * @property {number} faults repetitions with the verdict 'fault'
 * @property {(typeof VERDICTS)[number]} worst
 */

/**
 * @typedef {object} SetSummary
 * @property {string | null} view
 * @property {number} reps
 * @property {string} finding
 * @property {string | null} side
 * @property {string} cue '' when something hurts
 * @property {boolean | null} hurts something hurt before this set; null in a link of version 1, which does not say
 * @property {CheckSummary[]} checks
 * @property {string[]} not_judged checks that were not judged on both feet in most repetitions; none in a link of version 1
 */

/** @typedef {{ day: string, lifter: string, sets: SetSummary[] }} ResultSummary */

/** @param {number[]} values */
function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  const mid = sorted.length >> 1;
  return sorted.length % 2 ? sorted[mid] : (sorted[mid - 1] + sorted[mid]) / 2;
}

/**
 * @param {any} report in the contract's form
 * @param {boolean} hurts something hurt before this set
 * @returns {SetSummary}
 */
export function summarise(report, hurts) {
  const channels = CHECKS.flatMap((check) => {
    /** @type {('left' | 'right' | null)[]} */
    const sides = SIDED.has(check) ? ['left', 'right'] : [null];
    return sides.map((side) => ({ check, side }));
  });
  const checks = channels.flatMap(({ check, side }) => {
    const marks = report.reps.map((/** @type {any} */ rep) => (side ? rep[check][side] : rep[check]));
    const seen = marks.filter((/** @type {any} */ m) => m.verdict !== 'unseen');
    if (!seen.length) return [];
    const order = ['clear', 'unsure', 'fault'];
    return [
      {
        check,
        side,
        median: median(seen.map((/** @type {any} */ m) => m.value)),
        sd: median(seen.map((/** @type {any} */ m) => m.sd)),
        reps: seen.length,
        faults: seen.filter((/** @type {any} */ m) => m.verdict === 'fault').length,
        worst: /** @type {(typeof VERDICTS)[number]} */ (order[Math.max(...seen.map((/** @type {any} */ m) => order.indexOf(m.verdict)))]),
      },
    ];
  });
  return {
    view: report.view?.name ?? null,
    reps: report.reps.length,
    finding: report.finding.kind,
    side: report.finding.side,
    cue: hurts ? '' : report.cue.text,
    hurts,
    not_judged: CHECKS.filter((check) => report.finding.not_judged?.includes(check)),
    checks,
  };
}

/**
 * @param {ResultSummary} summary
 * @returns {string} the fragment, without '#'
 */
export function encodeSummary(summary) {
  const index = (/** @type {readonly string[]} */ names, /** @type {string | null} */ name) =>
    name === null || !names.includes(name) ? null : names.indexOf(name);
  return toFragment(
    MARK,
    seal(MARK, VERSION, [
      summary.day,
      cleanText(summary.lifter, 30),
      summary.sets.map((set) => [
        index(VIEWS, set.view),
        set.reps,
        index(FINDINGS, set.finding),
        index(SIDES, set.side),
        cleanText(set.cue, 120),
        // Tenths: finer than any standard error.
        set.checks.map((c) => [
          index(CHECKS, c.check),
          index(SIDES, c.side),
          Math.round(c.median * 10),
          Math.round(c.sd * 10),
          c.reps,
          c.faults,
          index(VERDICTS, c.worst),
        ]),
        Boolean(set.hurts),
        CHECKS.reduce((mask, name, i) => mask | (set.not_judged.includes(name) ? 1 << i : 0), 0),
      ]),
    ]),
  );
}

/** @param {string} fragment */
export function isSummaryFragment(fragment) {
  return fragment.replace(/^#/, '').startsWith(`${MARK}.`);
}

/**
 * @param {string} fragment with or without '#'
 * @returns {ResultSummary}
 * @throws {import('./errors.js').ShareError}
 */
export function decodeSummary(fragment) {
  const { version, payload } = open(fromFragment(MARK, fragment), MARK, VERSION, { inflated: 16 * 1024 });
  const [date, lifter, sets] = list(payload, 8, 'summary');
  return {
    day: day(date),
    lifter: cleanText(lifter, 30),
    sets: list(sets, 8, 'sets').map((value) => {
      const [view, reps, finding, side, cue, checks, hurts, doubtful] = list(value, 12, 'set');
      return {
        view: maybe(view, (v) => nameAt(v, VIEWS, 'view')),
        reps: whole(reps, 0, 100, 'reps'),
        finding: maybe(finding, (v) => nameAt(v, FINDINGS, 'finding')) ?? 'not-enough-seen',
        side: maybe(side, (v) => nameAt(v, SIDES, 'side')),
        cue: cleanText(cue, 120),
        checks: list(checks, 8, 'checks').map(readCheckSummary),
        hurts: version < 2 ? null : truth(hurts, 'hurts'),
        not_judged: CHECKS.filter((_, i) => version >= 2 && whole(doubtful, 0, (1 << CHECKS.length) - 1, 'not judged') & (1 << i)),
      };
    }),
  };
}

/**
 * @param {unknown} value
 * @returns {CheckSummary}
 */
function readCheckSummary(value) {
  const [check, side, mid, sd, reps, faults, worst] = list(value, 12, 'check');
  const tenths = (/** @type {unknown} */ v) => real(v, -1e5, 1e5, 'value') / 10;
  return {
    check: nameAt(check, CHECKS, 'check'),
    side: maybe(side, (v) => nameAt(v, /** @type {const} */ (['left', 'right']), 'side')),
    median: tenths(mid),
    sd: tenths(sd),
    reps: whole(reps, 0, 100, 'reps'),
    faults: whole(faults, 0, 100, 'faults'),
    worst: nameAt(worst, VERDICTS, 'verdict'),
  };
}
