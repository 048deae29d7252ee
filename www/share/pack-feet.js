// @ts-check
/**
 * Packs what the pictures of the feet said of each frame, so that a set read from its picture can
 * be computed again where the picture never goes.
 */
import { list, record, whole } from './fields.js';
import { packInts, unpackInts } from './ints.js';

/** Steps in a mm or a degree, and in a pixel: finer than any error of theirs. */
const VALUE_STEPS = 20;
const PIXEL_STEPS = 8;
/** No value or place lies further out. */
const FAR = 1e6;
const SIDES = /** @type {const} */ (['left', 'right']);
/** Pairs of a foot in this order for ever: lift, roll, heel point, big-toe base, little-toe base; then, where any shin was followed, its ankle and its top. */
const PAIRS = 5;
const WITH_SHIN = 7;
/** Value and standard error; the error is kept above 0. */
const ESTIMATES = 2;
/** Beside the pairs' bits: a picture came with the frame, whatever it told. */
const LOOKED = 1 << PAIRS;
/** Beside both: the shin was followed. */
const SHIN = 1 << (PAIRS + 1);

/** @typedef {[number, number] | null} Pair */
/** Steps in a mm or a degree of where a foot was set, and the furthest of them; the most times in one set. */
const SET_STEPS = 10;
const SET_FAR = 10_000;
const SETS = 200;

/** @typedef {{ heel_lift_mm?: Pair, foot_roll_deg?: Pair, contacts_px?: Pair[], shin_px?: [Pair, Pair], set_by?: [number, number, number] }} TrackedFoot */
/** @typedef {{ left?: TrackedFoot, right?: TrackedFoot }} Feet */

/**
 * @param {{ feet?: Feet }[]} frames
 * @returns {unknown} plain data; null when no picture was followed
 */
export function packFeet(frames) {
  if (!frames.some((f) => f.feet)) return null;
  const count = frames.some((f) => SIDES.some((side) => f.feet?.[side]?.shin_px)) ? WITH_SHIN : PAIRS;
  return SIDES.map((side) => {
    /** Which pairs a frame has, as bits. @type {number[]} */
    const has = [];
    /** @type {number[][]} */
    const columns = Array.from({ length: 2 * count }, () => []);
    const last = new Array(2 * count).fill(0);
    /** From which frame on the foot stood how far elsewhere. @type {number[][]} */
    const set = [];
    for (const [i, frame] of frames.entries()) {
      const foot = frame.feet?.[side];
      const by = (foot?.set_by ?? [0, 0, 0]).map((v) => Math.round(Math.max(-SET_FAR, Math.min(SET_FAR, v * SET_STEPS))));
      if (foot && by.some((v, k) => v !== (set.at(-1)?.[k + 1] ?? 0))) set.push([i, ...by]);
      const pairs = [foot?.heel_lift_mm, foot?.foot_roll_deg, ...Array.from({ length: 3 }, (_, k) => foot?.contacts_px?.[k]), ...(foot?.shin_px ?? [])];
      let bits = frame.feet ? LOOKED : 0;
      pairs.forEach((pair, p) => {
        if (!pair?.every(Number.isFinite)) return;
        bits |= p < PAIRS ? 1 << p : SHIN;
        for (const k of [0, 1]) {
          const cut = Math.max(-FAR, Math.min(FAR, pair[k]));
          const steps = Math.round(cut * (p < ESTIMATES ? VALUE_STEPS : PIXEL_STEPS));
          const now = p < ESTIMATES && k === 1 ? Math.max(1, steps) : steps;
          columns[2 * p + k].push(now - last[2 * p + k]);
          last[2 * p + k] = now;
        }
      });
      has.push(bits);
    }
    return { has: packInts(has), columns: columns.map(packInts), ...(set.length && { set }) };
  });
}

/**
 * @param {unknown} packed
 * @param {number} count frames
 * @returns {(Feet | undefined)[]} by frame
 * @throws {import('./errors.js').ShareError}
 */
export function unpackFeet(packed, count) {
  /** @type {(Feet | undefined)[]} */
  const out = new Array(count).fill(undefined);
  list(packed, SIDES.length, 'feet').forEach((value, s) => {
    const { has, columns, set = [] } = record(value, 'foot');
    const sets = list(set, SETS, 'foot').map((s) => list(s, 4, 'foot').map((v, k) => (k ? whole(v, -SET_FAR, SET_FAR, 'foot') : whole(v, 0, count, 'foot'))));
    /** @type {[number, number, number] | undefined} */
    let by;
    const bits = unpackInts(has, count, 'foot');
    const read = list(columns, 2 * WITH_SHIN, 'foot').map((column) => reader(unpackInts(column, count, 'foot')));
    bits.forEach((b, i) => {
      while (sets.length && sets[0][0] <= i) {
        const [, along = 0, toward = 0, out = 0] = sets.shift() ?? [];
        by = along || toward || out ? [along / SET_STEPS, toward / SET_STEPS, out / SET_STEPS] : undefined;
      }
      if (!whole(b, 0, 2 * SHIN - 1, 'foot')) return;
      const feet = (out[i] ??= {});
      if (b === LOOKED) return;
      const pairs = Array.from({ length: PAIRS }, (_, p) => (b & (1 << p) ? pair(read, p) : null));
      const [lift, roll, ...contacts_px] = pairs;
      /** @type {[Pair, Pair] | false} */
      const shin = b & SHIN ? [pair(read, PAIRS), pair(read, PAIRS + 1)] : false;
      feet[SIDES[s]] = {
        ...(lift && { heel_lift_mm: lift }),
        ...(roll && { foot_roll_deg: roll }),
        contacts_px,
        ...(shin && { shin_px: shin }),
        ...(by && { set_by: by }),
      };
    });
  });
  return out;
}

/** @param {(() => number)[]} read @param {number} p @returns {[number, number]} */
function pair(read, p) {
  const steps = p < ESTIMATES ? VALUE_STEPS : PIXEL_STEPS;
  const [a, b] = [read[2 * p], read[2 * p + 1]].map((next) => (next ? next() : 0) / steps);
  return [a, p < ESTIMATES ? Math.max(1 / steps, b) : b];
}

/** Adds up differences; one that is missing at the end counts as damage. @param {Int32Array} column */
function reader(column) {
  let i = 0;
  let last = 0;
  return () => (last += whole(column[i++], -1e7, 1e7, 'foot'));
}
