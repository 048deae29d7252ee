// @ts-check
/** Where the drawn joints sit in a recording's list of points. */
import { core } from '../app/core.js';

/**
 * @param {import('../app/types.js').Recording['layout']} layout
 * @returns {Promise<Record<string, number>>} index by joint name; joints that the layout lacks are absent
 */
export async function jointIndex(layout) {
  if (typeof layout !== 'string') return { ...layout.joints };
  const { layouts } = await core();
  return { .../** @type {Record<string, { joints: Record<string, number> }>} */ (layouts)[layout]?.joints };
}

/**
 * The person drawn in a frame: the package chooses the lifter among several, the drawing takes the
 * tallest, which is the same person unless somebody walks through.
 * @param {any} frame
 * @returns {(number[] | null)[] | null} null for a point that is not there
 */
export function personOf(frame) {
  if (frame.points) return frame.points;
  const people = /** @type {(number[] | null)[][]} */ (frame.people ?? []);
  let best = null;
  let most = 0;
  for (const points of people) {
    const ys = (points ?? []).flatMap((p) => (p && p[2] >= SEEN ? [p[1]] : []));
    const tall = ys.length ? Math.max(...ys) - Math.min(...ys) : 0;
    if (tall > most) [best, most] = [points, tall];
  }
  return best;
}

/** Scores below this mean unseen (contract). */
export const SEEN = 0.3;
