// @ts-check
/**
 * A result sent back as a file: everything needed to replay and to compute every number again.
 * No place, no device, no time of day: only what is listed here.
 */
import { LINE_MAX, readCheck } from './check-link.js';
import { damaged, day, list, maybe, real, record, truth } from './fields.js';
import { open, seal } from './envelope.js';
import { budget, packRecording, unpackRecording } from './pack.js';
import { cleanLines, cleanText } from './text.js';

const KIND = 'result';
/** 1: without `hurts` and a day of its own for each set. */
const VERSION = 2;
/** What the file is called. */
export const FILE_SUFFIX = '.underfoot';
const MAX_SETS = 16;
/** Longest note to the coach, in code points. */
export const NOTE_MAX = 1000;

/**
 * @typedef {object} SentSet
 * @property {any} recording in the contract's form
 * @property {any} report as the sender's build made it
 * @property {Record<string, { low?: number, high?: number }>} thresholds changed fault lines
 * @property {string} wanted the view asked for, or ''
 * @property {string} day of filming, `YYYY-MM-DD`
 * @property {boolean | null} hurts something hurt before this set; null in a file of version 1, which does not say
 */

/**
 * @typedef {object} SentResult
 * @property {string} made_with version of the package that made the reports
 * @property {string} day of the last set, `YYYY-MM-DD`
 * @property {string} lifter nickname of the lifter's choosing
 * @property {string} note
 * @property {import('./check-link.js').Check | null} check the check it answers
 * @property {SentSet[]} sets
 */

/**
 * What the coach will compute from: the recording as the file holds it. Analyse this, not the
 * original, and both sides see equal numbers.
 * @param {any} recording
 */
export function asSent(recording) {
  return unpackRecording(packRecording(recording));
}

/** Frames by which a recording is known again. */
const SAMPLE = 24;

/**
 * What tells one recording from another, whoever's name is on it: some of its frames, as a file holds them.
 * @param {any} recording out of a file
 * @returns {Uint8Array}
 */
export function printOf({ frames }) {
  const step = Math.max(1, Math.floor(frames.length / SAMPLE));
  const some = frames.filter((/** @type {any} */ _, /** @type {number} */ i) => i % step === 0);
  return new TextEncoder().encode(JSON.stringify([frames.length, some.map((/** @type {any} */ f) => [f.t_ms, f.points ?? f.people, f.feet])]));
}

/**
 * @param {SentResult} result
 * @returns {Uint8Array} gzip
 */
export function encodeResult(result) {
  const sets = result.sets.map(({ recording, report, thresholds, wanted, day: filmed, hurts }) => {
    const { series: _, ...kept } = report;
    return { recording: packRecording(recording), report: kept, thresholds, wanted, day: filmed ?? result.day, hurts: Boolean(hurts) };
  });
  return seal(KIND, VERSION, { ...result, check: result.check && packCheck(result.check), sets });
}

/**
 * @param {Uint8Array} bytes
 * @returns {SentResult}
 * @throws {import('./errors.js').ShareError}
 */
export function decodeResult(bytes) {
  const { version, payload } = open(bytes, KIND, VERSION);
  const root = record(payload, 'result');
  const purse = budget();
  return {
    made_with: cleanText(root.made_with, 20),
    day: day(root.day),
    lifter: cleanText(root.lifter, 30),
    note: cleanLines(root.note, NOTE_MAX),
    check: maybe(root.check, unpackCheck),
    sets: list(root.sets, MAX_SETS, 'sets').map((value) => {
      const set = record(value, 'set');
      return {
        recording: unpackRecording(set.recording, purse),
        report: record(set.report, 'report'),
        thresholds: readThresholds(set.thresholds),
        wanted: cleanText(set.wanted, 20),
        day: version < 2 ? day(root.day) : day(set.day),
        hurts: version < 2 ? null : truth(set.hurts, 'hurts'),
      };
    }),
  };
}

/** @param {import('./check-link.js').Check} check */
function packCheck(check) {
  return { ...check };
}

/**
 * @param {unknown} value
 * @returns {import('./check-link.js').Check}
 */
function unpackCheck(value) {
  const c = record(value, 'check');
  const base = readCheck([1, [], c.reps ?? null, c.load, [], c.cue, c.message, c.coach, c.ref]);
  const names = (/** @type {unknown} */ v) => list(v, 8, 'check').map((n) => cleanText(n, 20));
  return /** @type {import('./check-link.js').Check} */ ({ ...base, checks: names(c.checks), views: names(c.views), thresholds: readThresholds(c.thresholds) });
}

/**
 * @param {unknown} value
 * @returns {Record<string, { low?: number, high?: number }>}
 */
function readThresholds(value) {
  const bands = maybe(value, (v) => Object.entries(record(v, 'thresholds'))) ?? [];
  if (bands.length > 8) damaged('thresholds');
  return Object.fromEntries(
    bands.map(([name, band]) => {
      const lines = Object.entries(record(band, 'threshold')).filter(([k, v]) => (k === 'low' || k === 'high') && v !== null);
      return [cleanText(name, 20), Object.fromEntries(lines.map(([k, v]) => [k, real(v, -LINE_MAX, LINE_MAX, 'threshold')]))];
    }),
  );
}
