// @ts-check
/**
 * A check: what a coach asks a client to film. It travels in a URL's fragment, which browsers do
 * not send to servers (RFC 3986, section 3.5).
 */
import { fromFragment, open, seal, toFragment } from './envelope.js';
import { list, maybe, nameAt, real, whole } from './fields.js';
import { cleanText } from './text.js';

const MARK = 'check';
/** 1: without `ref`. */
const VERSION = 2;

/** In this order for ever: links hold indices. */
export const CHECKS = /** @type {const} */ (['heel_lift_mm', 'knee_in_deg', 'foot_roll_deg', 'forward_pct', 'load_left_pct']);
/** In this order for ever: links hold indices. */
export const VIEWS = /** @type {const} */ (['front', 'front-left', 'left', 'rear-left', 'rear', 'rear-right', 'right', 'front-right']);
/** In this order for ever: links hold indices. */
export const BOUNDS = /** @type {const} */ (['low', 'high']);

/**
 * @typedef {object} Check
 * @property {(typeof CHECKS)[number][]} checks wanted, at least one
 * @property {(typeof VIEWS)[number][]} views from which sides, in this order, at least one
 * @property {number} reps repetitions a view, 1 to 30
 * @property {string} load note on the load, at most 40 characters
 * @property {Record<string, { low?: number, high?: number }>} thresholds changed fault lines, by check
 * @property {string} cue the cue being practised, at most 120 characters
 * @property {string} message at most 200 characters
 * @property {string} coach name of the coach's choosing, at most 30 characters
 * @property {number | null} ref drawn at random, by which the coach's desk knows its own check again; null in a link of version 1
 */

/** No changed line lies further out; which ones can be used says the core. */
export const LINE_MAX = 1000;
/** Longest texts, in code points. */
export const TEXT_MAX = { load: 40, cue: 120, message: 200, coach: 30 };

/**
 * @param {Check} check
 * @returns {string} the fragment, without '#'
 */
export function encodeCheck(check) {
  const thresholds = Object.entries(check.thresholds)
    .flatMap(([name, band]) => BOUNDS.map((bound, b) => [CHECKS.findIndex((c) => c === name), b, band[bound]]))
    .filter(([c, , value]) => value !== undefined && c !== undefined && c >= 0);
  return toFragment(
    MARK,
    seal(MARK, VERSION, [
      CHECKS.reduce((mask, name, i) => mask | (check.checks.includes(name) ? 1 << i : 0), 0),
      check.views.map((view) => VIEWS.indexOf(view)),
      check.reps,
      cleanText(check.load, TEXT_MAX.load),
      thresholds,
      cleanText(check.cue, TEXT_MAX.cue),
      cleanText(check.message, TEXT_MAX.message),
      cleanText(check.coach, TEXT_MAX.coach),
      check.ref ?? null,
    ]),
  );
}

/** @returns {number} a new check's `ref` */
export function newRef() {
  return crypto.getRandomValues(new Uint32Array(1))[0];
}

/**
 * @param {string} fragment
 * @returns {boolean} whether this fragment claims to be a check
 */
export function isCheckFragment(fragment) {
  return fragment.replace(/^#/, '').startsWith(`${MARK}.`);
}

/**
 * @param {string} fragment with or without '#'
 * @returns {Check}
 * @throws {import('./errors.js').ShareError}
 */
export function decodeCheck(fragment) {
  const { payload } = open(fromFragment(MARK, fragment), MARK, VERSION, { inflated: 4096 });
  return readCheck(payload);
}

/**
 * @param {unknown} payload
 * @returns {Check}
 */
export function readCheck(payload) {
  const [mask, views, reps, load, thresholds, cue, message, coach, ref] = list(payload, 16, 'check');
  const wanted = whole(mask, 1, (1 << CHECKS.length) - 1, 'checks');
  /** @type {Check['thresholds']} */
  const bands = {};
  for (const entry of list(thresholds, CHECKS.length * BOUNDS.length, 'thresholds')) {
    const [c, b, value] = list(entry, 3, 'threshold');
    const name = nameAt(c, CHECKS, 'threshold check');
    (bands[name] ??= {})[nameAt(b, BOUNDS, 'threshold bound')] = real(value, -LINE_MAX, LINE_MAX, 'threshold value');
  }
  const wantedViews = list(views, VIEWS.length, 'views').map((v) => nameAt(v, VIEWS, 'view'));
  return {
    checks: CHECKS.filter((_, i) => wanted & (1 << i)),
    views: wantedViews.length ? wantedViews : ['front'],
    reps: maybe(reps, (v) => whole(v, 1, 30, 'reps')) ?? 5,
    load: cleanText(load, TEXT_MAX.load),
    thresholds: bands,
    cue: cleanText(cue, TEXT_MAX.cue),
    message: cleanText(message, TEXT_MAX.message),
    coach: cleanText(coach, TEXT_MAX.coach),
    ref: maybe(ref, (v) => whole(v, 0, 0xffff_ffff, 'ref')),
  };
}
