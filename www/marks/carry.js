// @ts-check
/** Marks of one still picture in another: whether the camera stands where it did, and where the marked joints are now. */
import { SIDES, PARTS } from './joints.js';

/** @typedef {import('./joints.js').Joints} Joints */
/** @typedef {import('./joints.js').MarkedJoint} MarkedJoint */
/** @typedef {{ width: number, height: number, data: Uint8Array | Uint8ClampedArray }} Grey a picture in shades of grey */

/** Pictures are compared at so many px of their longest side. */
const LONGEST = 640;
/** Half side of a patch of the background, how far apart they are, and how far each is looked for, px of that. */
const HALF = 10;
const APART = 13;
const REACH = 8;
// measured: tests/page/carry.test.mjs on eight rendered close-ups. Where the phone stood, 70 to 100 % of the patches that tell say so, each
// way, with noise and in other light; where it went by 3 px of 1280 or turned by half a degree, at most a third one of the ways.
/** A patch needs so much contrast (standard deviation, grey levels) to be told from noise. */
const CONTRAST = 5;
/**
 * A patch that looks like the one sought. measured: as above; marks of a later stand are like by 0.89 to 0.99, knees at the bottom of a squat
 * by 0.05 to 0.54. Marks of feet set elsewhere by 40 px of 1280 are found within 7 px (all but one within 11 px).
 */
const ALIKE = 0.8;
/** A patch tells a movement when this one, px, takes so much off its likeness; it stands where it did when no other place is more like it by so much. */
const STEP = 2;
const TELLS = 0.1;
const BETTER = 0.03;
/** A background stands when, each way, so many patches say so at least, and such a part of all that tell. */
const FEWEST = 6;
const MOST = 0.6;
/** In lengths of the shin: how far a foot may be set elsewhere, how far its marks then differ from it, margin of a foot, half side of a mark's patch. */
const ELSEWHERE = 0.3;
const DIFFERS = 0.08;
const MARGIN = 0.12;
const MARK = 0.14;
/** A shin gives little hold along it: a place so far off must look like the mark by one more in correlation. */
const STRETCH = 0.25;

/**
 * @param {Grey} then the picture that was marked
 * @param {Joints} joints px of it
 * @param {Grey} now
 * @returns {{ stands: boolean, joints: Joints, likeness: Partial<Record<MarkedJoint, number>>, all: boolean }} joints: those
 *   that were found again, px of `now`; likeness: correlation of each; all: whether they are all those that were marked
 */
export function carryMarks(then, joints, now) {
  if (then.width !== now.width || then.height !== now.height) return { stands: false, joints: {}, likeness: {}, all: false };
  const by = Math.max(1, Math.round(Math.max(then.width, then.height) / LONGEST));
  const [a, b] = [smaller(then, by), smaller(now, by)];
  /** @type {Joints} */
  const small = Object.fromEntries(Object.entries(joints).map(([joint, [x, y]]) => [joint, [x / by, y / by]]));
  const stands = cameraStands(a, b, small);
  /** @type {Joints} */
  const found = {};
  /** @type {Partial<Record<MarkedJoint, number>>} */
  const likeness = {};
  for (const side of SIDES) {
    const leg = legBetween(a, b, small, side);
    for (const [joint, { at, alike }] of Object.entries(leg)) {
      likeness[/** @type {MarkedJoint} */ (joint)] = alike;
      if (alike >= ALIKE) found[/** @type {MarkedJoint} */ (joint)] = [at[0] * by, at[1] * by];
    }
  }
  return { stands, joints: found, likeness, all: Object.keys(found).length === Object.keys(joints).length };
}

/** Whether what is around the lifter stands where it did. @param {Grey} a @param {Grey} b @param {Joints} joints */
function cameraStands(a, b, joints) {
  const at = Object.values(joints);
  const xs = at.map(([x]) => x);
  const ys = at.map(([, y]) => y);
  // The lifter: from the marks upward, and wider than them by what the thighs and a hand's breadth take.
  const wide = 0.3 * shinOf(joints);
  const [left, right, low] = [Math.min(...xs) - wide, Math.max(...xs) + wide, Math.max(...ys) + 0.25 * wide];
  const ways = [0, 1].map(() => ({ told: 0, stood: 0 }));
  for (let y = HALF + REACH; y < a.height - HALF - REACH; y += APART) {
    for (let x = HALF + REACH; x < a.width - HALF - REACH; x += APART) {
      if (x > left - HALF && x < right + HALF && y < low + HALF) continue;
      const corner = [x - HALF, y - HALF];
      const patch = patchOf(a, corner[0], corner[1], 2 * HALF + 1, 2 * HALF + 1);
      if (!patch || patch.norm / Math.sqrt(patch.values.length) < CONTRAST) continue;
      const { alike } = search(b, patch, corner, REACH);
      const stands = alike >= ALIKE && alike - correlation(b, patch, corner[0], corner[1]) < BETTER;
      for (const [i, way] of ways.entries()) {
        const beside = [-STEP, STEP].map((d) => correlation(a, patch, corner[0] + (i ? 0 : d), corner[1] + (i ? d : 0)));
        if (Math.max(...beside) > 1 - TELLS) continue;
        way.told += 1;
        if (stands) way.stood += 1;
      }
    }
  }
  return ways.every(({ told, stood }) => stood >= Math.max(FEWEST, MOST * told));
}

/** Length of a shin that is marked, px. @param {Joints} joints */
function shinOf(joints) {
  const each = SIDES.map((side) => {
    const [knee, ankle] = [joints[`${side}_knee`], joints[`${side}_ankle`]];
    return knee && ankle ? Math.hypot(knee[0] - ankle[0], knee[1] - ankle[1]) : 0;
  });
  return Math.max(20, ...each);
}

/** Where the joints of a leg are now. @param {Grey} a @param {Grey} b @param {Joints} joints @param {'left' | 'right'} side */
function legBetween(a, b, joints, side) {
  const shin = shinOf(joints);
  const marked = PARTS.flatMap(([part]) => {
    const at = joints[`${side}_${part}`];
    return at ? [{ joint: `${side}_${part}`, part, at }] : [];
  });
  /** @type {Record<string, { at: [number, number], alike: number }>} */
  const out = {};
  const foot = marked.filter(({ part }) => part !== 'knee');
  const margin = MARGIN * shin;
  const ends = (/** @type {0 | 1} */ i) => {
    const all = (foot.length ? foot : marked).map(({ at }) => at[i]);
    return [Math.floor(Math.min(...all) - margin), Math.ceil(Math.max(...all) + margin)];
  };
  if (!marked.length) return out;
  const [[x0, x1], [y0, y1]] = [ends(0), ends(1)];
  // A whole foot is large: it is looked for at half the size.
  const corner = [x0 >> 1, y0 >> 1];
  const whole = patchOf(smaller(a, 2), corner[0], corner[1], ((x1 - x0) >> 1) + 1, ((y1 - y0) >> 1) + 1);
  const went = whole ? search(smaller(b, 2), whole, corner, Math.ceil((ELSEWHERE * shin) / 2)) : { dx: 0, dy: 0 };
  const [dx, dy] = [2 * went.dx, 2 * went.dy];
  const half = Math.max(5, Math.round(MARK * shin));
  for (const { joint, part, at } of marked) {
    const [x, y] = at.map(Math.round);
    const patch = patchOf(a, x - half, y - half, 2 * half + 1, 2 * half + 1);
    if (!patch) {
      out[joint] = { at, alike: 0 };
      continue;
    }
    const reach = Math.ceil((part === 'knee' ? 2 : 1) * DIFFERS * shin);
    const seen = search(b, patch, [x - half + Math.round(dx), y - half + Math.round(dy)], reach, 1 / (STRETCH * shin) ** 2);
    out[joint] = { at: [at[0] + Math.round(dx) + seen.dx, at[1] + Math.round(dy) + seen.dy], alike: seen.alike };
  }
  return out;
}

/** A picture, so many times smaller. @param {Grey} of @param {number} by @returns {Grey} */
function smaller(of, by) {
  const [width, height] = [Math.floor(of.width / by), Math.floor(of.height / by)];
  const data = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let sum = 0;
      for (let v = 0; v < by; v++) for (let u = 0; u < by; u++) sum += of.data[(y * by + v) * of.width + x * by + u];
      data[y * width + x] = sum / (by * by);
    }
  }
  return { width, height, data };
}

/** @typedef {{ width: number, height: number, values: Float32Array, norm: number }} Patch less its mean */

/** A piece of a picture, clipped to it; null when little is left. @param {Grey} of @param {number} x @param {number} y @param {number} width @param {number} height @returns {Patch & { left: number, top: number } | null} */
function patchOf(of, x, y, width, height) {
  const [left, top] = [Math.max(0, -x), Math.max(0, -y)];
  width = Math.min(width, of.width - x) - left;
  height = Math.min(height, of.height - y) - top;
  if (width < 5 || height < 5) return null;
  const values = new Float32Array(width * height);
  let sum = 0;
  for (let v = 0; v < height; v++) {
    for (let u = 0; u < width; u++) sum += values[v * width + u] = of.data[(y + top + v) * of.width + x + left + u];
  }
  let norm = 0;
  for (let i = 0; i < values.length; i++) norm += (values[i] -= sum / values.length) ** 2;
  return { width, height, values, norm: Math.sqrt(norm), left, top };
}

/**
 * Where a patch correlates best (Pearson's coefficient) about a place, to parts of a px.
 * @param {Grey} of
 * @param {Patch & { left: number, top: number }} patch
 * @param {number[]} from its upper left corner
 * @param {number} reach px, each way
 * @param {number} [far] what is taken off a likeness for the square of a distance, px
 */
function search(of, patch, [x, y], reach, far = 0) {
  const wide = 2 * reach + 1;
  const all = new Float32Array(wide * wide).fill(-1);
  let best = 0;
  // Every second place first, then those about the best.
  const at = (/** @type {number} */ i) => {
    const [dx, dy] = [(i % wide) - reach, Math.floor(i / wide) - reach];
    if (all[i] < 0) all[i] = Math.max(0, correlation(of, patch, x + patch.left + dx, y + patch.top + dy) - far * (dx * dx + dy * dy));
    if (all[i] > all[best]) best = i;
  };
  at(reach * wide + reach);
  for (let v = 0; v < wide; v += 2) for (let u = 0; u < wide; u += 2) at(v * wide + u);
  for (let round = 0; round < 3; round++) {
    const [u, v] = [best % wide, Math.floor(best / wide)];
    for (let dv = -1; dv <= 1; dv++) {
      for (let du = -1; du <= 1; du++) if (u + du >= 0 && u + du < wide && v + dv >= 0 && v + dv < wide) at((v + dv) * wide + u + du);
    }
  }
  const [u, v] = [best % wide, Math.floor(best / wide)];
  const part = (/** @type {number} */ i, /** @type {number} */ step, /** @type {boolean} */ inside) => {
    if (!inside) return 0;
    const [before, here, after] = [all[i - step], all[i], all[i + step]];
    const bend = before - 2 * here + after;
    return bend < -1e-9 ? Math.max(-0.5, Math.min(0.5, (before - after) / (2 * bend))) : 0;
  };
  return { dx: u - reach + part(best, 1, u > 0 && u + 1 < wide), dy: v - reach + part(best, wide, v > 0 && v + 1 < wide), alike: all[best] };
}

/** Pearson's coefficient of a patch and what lies at a place, 0 where nothing is like it or a part lies outside. @param {Grey} of @param {Patch} patch @param {number} x @param {number} y */
function correlation(of, { width, height, values, norm }, x, y) {
  if (x < 0 || y < 0 || x + width > of.width || y + height > of.height) return 0;
  let [sum, squares, product] = [0, 0, 0];
  for (let v = 0; v < height; v++) {
    const row = (y + v) * of.width + x;
    for (let u = 0; u < width; u++) {
      const value = of.data[row + u];
      sum += value;
      squares += value * value;
      product += value * values[v * width + u];
    }
  }
  const spread = Math.sqrt(Math.max(0, squares - (sum * sum) / values.length));
  return spread > 1e-3 && norm > 1e-3 ? Math.max(0, product / (spread * norm)) : 0;
}
