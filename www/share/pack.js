// @ts-check
/**
 * Packs a recording small enough to send, keeping what every number is computed from: the points
 * that the core uses, to an eighth of a pixel, as differences from frame to frame.
 */
import { ShareError } from './errors.js';
import { damaged, list, maybe, real, record, whole } from './fields.js';
import { packInts, unpackInts } from './ints.js';
import { packFeet, unpackFeet } from './pack-feet.js';
import { cleanText } from './text.js';

/** Steps in a pixel: rounding adds 0.04 px, far below any estimator's noise. */
const STEPS = 8;
/** Steps in a score of 1. */
const SCORE_STEPS = 50;
/** Steps in a millisecond. */
const TIME_STEPS = 10;
/** Frames a second that tell a squat; a camera of 60 is thinned to 30. */
const ENOUGH_HZ = 30;
/** Most frames of a set: more than two minutes. */
const MAX_FRAMES = 4000;
const MAX_POINTS = 1024;
/** No point lies further out, px. */
const FAR = 1e6;
/** What an unpacked recording takes in memory, bytes, at most and by part (as V8 lays it out). */
const MAX_HELD = 40e6;
const HELD = { frame: 120, person: 60, slot: 8, point: 85, feet: 900 };

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
 * @param {{ layout: any, frames: { t_ms: number, points?: unknown, people?: unknown, feet?: any }[] } & Record<string, any>} recording
 * @returns {unknown} plain data for the envelope
 */
export function packRecording(recording) {
  const count = typeof recording.layout === 'string' ? layoutCount(recording.layout) : recording.layout.count;
  const used = usedPoints(recording.layout, count);
  const { frames: all, marks, ...setup } = recording;
  const frames = thin(all);
  const people = frames.map((f) => /** @type {Point[][]} */ (f.people ?? (f.points ? [f.points] : [])).filter(Boolean));
  const feet = packFeet(frames);
  return {
    setup: marks ? { ...setup, marks: { ...marks, t_ms: marks.t_ms - startOf(frames) } } : setup,
    count,
    used,
    times: packInts(times(frames)),
    people: packInts(people.map((p) => p.length)),
    columns: used.map((i) => packColumn(people, i).map(packInts)),
    ...(feet ? { feet } : {}),
  };
}

/**
 * As many frames as tell a squat: a fast camera's are thinned to about 30 a second.
 * @template {{ t_ms: number }} F
 * @param {F[]} frames
 * @returns {F[]}
 */
function thin(frames) {
  const seconds = frames.length ? (frames[frames.length - 1].t_ms - frames[0].t_ms) / 1000 : 0;
  const fast = seconds > 0 ? Math.floor(frames.length / seconds / ENOUGH_HZ + 0.1) : 1;
  const step = Math.max(1, Math.min(fast, 16), Math.ceil(frames.length / MAX_FRAMES));
  return step === 1 ? frames : frames.filter((_, i) => i % step === 0);
}

/** A file counts its times from here on. @param {{ t_ms: number }[]} frames */
const startOf = (frames) => frames[0]?.t_ms ?? 0;

/**
 * Differences, from the first frame on: a clock's time of day goes nowhere.
 * @param {{ t_ms: number }[]} frames
 */
function times(frames) {
  const start = startOf(frames);
  let before = 0;
  return frames.map((f) => {
    const t = Math.round((f.t_ms - start) * TIME_STEPS);
    const delta = t - before;
    before = t;
    return delta;
  });
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
    const now = [seen ? steps(x, STEPS) : last[0], seen ? steps(y, STEPS) : last[1], seen && Number.isFinite(s) ? steps(s, SCORE_STEPS) : 0];
    for (let k = 0; k < 3; k += 1) out[k].push(now[k] - last[k]);
    last.splice(0, 3, ...now);
  }
  return out;
}

/** Far outside any picture is far enough. @param {number} value @param {number} scale */
function steps(value, scale) {
  return Math.round(Math.max(-FAR, Math.min(FAR, value)) * scale);
}

/**
 * Memory that unpacking may take, bytes, over all recordings of a file.
 * @returns {{ left: number }}
 */
export function budget() {
  return { left: MAX_HELD };
}

/**
 * @param {unknown} packed
 * @param {{ left: number }} [purse] what may still be held; see {@link budget}
 * @returns {any} a recording in the contract's form
 * @throws {import('./errors.js').ShareError}
 */
export function unpackRecording(packed, purse = budget()) {
  const { setup, count, used, times: spans, people, columns, feet } = record(packed, 'recording');
  const n = whole(count, 1, MAX_POINTS, 'points');
  const indices = list(used, n, 'used points').map((i) => whole(i, 0, n - 1, 'used point'));
  const deltas = unpackInts(spans, MAX_FRAMES, 'times');
  const crowd = unpackInts(people, deltas.length, 'people');
  if (crowd.length !== deltas.length || crowd.some((p) => p < 0 || p > 64)) damaged('people');
  const total = crowd.reduce((a, b) => a + b, 0);
  const each = HELD.person + n * HELD.slot + indices.length * HELD.point;
  purse.left -= deltas.length * (HELD.frame + (feet ? HELD.feet : 0)) + total * each;
  if (purse.left < 0) throw new ShareError('too-large', 'points');
  const points = list(columns, indices.length, 'columns').map((c) => unpackColumn(c, total));
  if (points.length !== indices.length) damaged('columns');
  const tracked = maybe(feet, (v) => unpackFeet(v, deltas.length));
  let t = 0;
  let at = 0;
  const frames = Array.from(deltas, (delta, f) => {
    t += delta;
    const persons = Array.from({ length: crowd[f] }, () => {
      /** @type {(Point | null)[]} */
      const person = Array.from({ length: n }, () => null);
      indices.forEach((index, c) => {
        const [x, y, s] = points[c];
        person[index] = [x[at] / STEPS, y[at] / STEPS, s[at] / SCORE_STEPS];
      });
      at += 1;
      return person;
    });
    const t_ms = t / TIME_STEPS;
    const seen = persons.length > 1 ? { t_ms, people: persons } : { t_ms, points: persons[0] ?? null };
    return tracked?.[f] ? { ...seen, feet: tracked[f] } : seen;
  });
  return { ...cleanSetup(record(setup, 'setup')), frames };
}

/**
 * Sums of the differences of x, y and score.
 * @param {unknown} column
 * @param {number} total
 * @returns {Int32Array[]}
 */
function unpackColumn(column, total) {
  const parts = list(column, 3, 'column').map((c) => unpackInts(c, total, 'column'));
  if (parts.length !== 3 || parts.some((p) => p.length !== total)) damaged('column');
  for (const part of parts) for (let i = 1; i < total; i += 1) part[i] += part[i - 1];
  return parts;
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
      return Object.fromEntries(
        kept.map((k) => [k, typeof from[k] === 'string' ? cleanText(from[k], 20) : typeof from[k] === 'boolean' ? from[k] : number(from[k])]),
      );
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
    marks: maybe(setup.marks, cleanMarks) ?? undefined,
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

/** Feet and shins as they were marked. @param {unknown} marks */
function cleanMarks(marks) {
  const from = record(marks, 'marks');
  const px = (/** @type {unknown} */ v) => real(v, -1e6, 1e6, 'marks');
  const joints = Object.entries(record(from.joints, 'marks'))
    .slice(0, 10)
    .filter(([, at]) => at !== null);
  return {
    t_ms: real(from.t_ms, -1e12, 1e12, 'marks'),
    joints: Object.fromEntries(joints.map(([joint, at]) => [cleanText(joint, 30), list(at, 2, 'marks').slice(0, 2).map(px)])),
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
