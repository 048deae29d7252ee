// @ts-check
/**
 * Packs a recording small enough to send, keeping what every number is computed from: the points
 * that the core uses, to an eighth of a pixel, as differences from frame to frame.
 */
import { damaged, list, maybe, real, record, whole } from './fields.js';
import { cleanText } from './text.js';

/** Steps in a pixel: rounding adds 0.04 px, far below any estimator's noise. */
const STEPS = 8;
/** Steps in a score of 1. */
const SCORE_STEPS = 50;
/** Steps in a millisecond. */
const TIME_STEPS = 10;
const MAX_FRAMES = 20_000;
const MAX_POINTS = 1024;

/** @typedef {[number, number, number]} Point */

/**
 * Points that the core reads, by layout (indices as in the layouts' own documents).
 * @type {Record<string, number[]>}
 */
const USED = {
  'blazepose-33': [0, 2, 5, 7, 8, ...range(11, 17), ...range(23, 33)],
  'halpe-26': [...range(0, 17), ...range(20, 26)],
  'body-25': [0, ...range(2, 8), ...range(9, 25)],
  'coco-wholebody-133': range(0, 23),
  'coco-17': range(0, 17),
};

/** @param {number} from @param {number} to */
function range(from, to) {
  return Array.from({ length: to - from }, (_, i) => from + i);
}

/**
 * @param {{ layout: any, frames: { t_ms: number, points?: unknown, people?: unknown }[] } & Record<string, any>} recording
 * @returns {unknown} plain data for the envelope
 */
export function packRecording(recording) {
  const count = typeof recording.layout === 'string' ? layoutCount(recording.layout) : recording.layout.count;
  const used = usedPoints(recording.layout, count);
  const { frames, ...setup } = recording;
  let before = 0;
  const times = frames.map((f) => {
    const t = Math.round(f.t_ms * TIME_STEPS);
    const delta = t - before;
    before = t;
    return delta;
  });
  const people = frames.map((f) => /** @type {Point[][]} */ (f.people ?? (f.points ? [f.points] : [])).filter(Boolean));
  const columns = used.map((i) => packColumn(people, i));
  return { setup, count, used, times, people: people.map((p) => p.length), columns };
}

/**
 * One point over all frames and people: differences of x, of y, and of the score.
 * @param {Point[][][]} people
 * @param {number} i
 */
function packColumn(people, i) {
  /** @type {number[][]} */
  const out = [[], [], []];
  const last = [0, 0, 0];
  for (const person of people.flat()) {
    const [x, y, s = 1] = person[i] ?? [NaN, NaN, 0];
    const seen = Number.isFinite(x) && Number.isFinite(y);
    // An unseen point repeats the last place with score 0, which costs nothing.
    const now = [
      seen ? Math.round(x * STEPS) : last[0],
      seen ? Math.round(y * STEPS) : last[1],
      seen && Number.isFinite(s) ? Math.round(s * SCORE_STEPS) : 0,
    ];
    for (let k = 0; k < 3; k += 1) out[k].push(now[k] - last[k]);
    last.splice(0, 3, ...now);
  }
  return out;
}

/**
 * @param {unknown} packed
 * @returns {any} a recording in the contract's form
 */
export function unpackRecording(packed) {
  const { setup, count, used, times, people, columns } = record(packed, 'recording');
  const n = whole(count, 1, MAX_POINTS, 'points');
  const indices = list(used, n, 'used points').map((i) => whole(i, 0, n - 1, 'used point'));
  const deltas = list(times, MAX_FRAMES, 'times');
  const crowd = list(people, deltas.length, 'people').map((p) => whole(p, 0, 64, 'people'));
  if (crowd.length !== deltas.length) damaged('people');
  const total = crowd.reduce((a, b) => a + b, 0);
  const points = list(columns, indices.length, 'columns').map((c) => unpackColumn(c, total));
  if (points.length !== indices.length || total * n > 4_000_000) damaged('columns');
  let t = 0;
  let at = 0;
  const frames = deltas.map((delta, f) => {
    t += whole(delta, -1e9, 1e9, 'time');
    const persons = Array.from({ length: crowd[f] }, () => {
      /** @type {(Point | null)[]} */
      const person = Array.from({ length: n }, () => null);
      indices.forEach((index, c) => (person[index] = points[c][at]));
      at += 1;
      return person;
    });
    const t_ms = t / TIME_STEPS;
    return persons.length > 1 ? { t_ms, people: persons } : { t_ms, points: persons[0] ?? null };
  });
  return { ...cleanSetup(record(setup, 'setup')), frames };
}

/**
 * @param {unknown} column
 * @param {number} total
 * @returns {Point[]}
 */
function unpackColumn(column, total) {
  const parts = list(column, 3, 'column').map((c) => list(c, total, 'column'));
  if (parts.length !== 3 || parts.some((p) => p.length !== total)) damaged('column');
  const last = [0, 0, 0];
  return Array.from({ length: total }, (_, i) => {
    for (let k = 0; k < 3; k += 1) last[k] += whole(parts[k][i], -1e7, 1e7, 'difference');
    return [last[0] / STEPS, last[1] / STEPS, last[2] / SCORE_STEPS];
  });
}

/**
 * Keeps only the contract's fields, each checked again by the core when the recording is read.
 * @param {Record<string, unknown>} setup
 */
function cleanSetup(setup) {
  const layout = setup.layout;
  const image = record(setup.image, 'image');
  const number = (/** @type {unknown} */ v) => real(v, -1e6, 1e6, 'setup');
  const flat = (/** @type {unknown} */ section, /** @type {string[]} */ keys) =>
    maybe(section, (v) => {
      const from = record(v, 'setup');
      const kept = keys.filter((k) => from[k] !== undefined && from[k] !== null);
      return Object.fromEntries(kept.map((k) => [k, typeof from[k] === 'string' ? cleanText(from[k], 20) : typeof from[k] === 'boolean' ? from[k] : number(from[k])]));
    }) ?? undefined;
  /** @type {Record<string, unknown>} */
  const out = {
    layout: typeof layout === 'string' ? cleanText(layout, 40) : cleanLayout(record(layout, 'layout')),
    image: { width: number(image.width), height: number(image.height) },
    lifter: flat(setup.lifter, ['height_m']),
    load: flat(setup.load, ['body_kg', 'bar_kg', 'carry']),
    camera: flat(setup.camera, ['hfov_deg', 'mirrored', 'pitch_deg', 'roll_deg']),
    footwear: maybe(setup.footwear, (v) => cleanText(v, 20)) ?? undefined,
    estimator: maybe(setup.estimator, (v) => cleanText(v, 40)) ?? undefined,
  };
  return Object.fromEntries(Object.entries(out).filter(([, v]) => v !== undefined));
}

/** @param {Record<string, unknown>} layout */
function cleanLayout(layout) {
  const joints = Object.entries(record(layout.joints, 'joints')).slice(0, 64);
  return {
    count: whole(layout.count, 1, MAX_POINTS, 'layout'),
    joints: Object.fromEntries(joints.map(([k, v]) => [cleanText(k, 30), whole(v, 0, MAX_POINTS, 'joint')])),
  };
}

/** @param {string} name */
function layoutCount(name) {
  return Number(/-(\d+)$/.exec(name)?.[1] ?? damaged('layout'));
}

/**
 * @param {any} layout
 * @param {number} count
 * @returns {number[]}
 */
function usedPoints(layout, count) {
  if (typeof layout === 'string') return USED[layout] ?? range(0, count);
  return [...new Set(/** @type {number[]} */ (Object.values(layout.joints)))].sort((a, b) => a - b);
}
