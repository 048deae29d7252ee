// @ts-check
/** The marks of the last set, held while the page is open: the next one is read from them when the phone stands where it did. */
import { carryMarks } from './carry.js';

/** @typedef {import('./joints.js').Joints} Joints */

/** @typedef {'video' | 'camera'} From where the pictures come from */

/** @type {{ picture: import('../pkg/index.js').GreyCrop, joints: Joints, from: From } | null} */
let last = null;

/** @param {import('./still.js').Still} still the picture that was marked @param {Joints} joints @param {From} from */
export function holdMarks({ crops }, joints, from) {
  last = { picture: crops[0], joints, from };
}

/** The marks of the last set since the page was opened; null where none of these pictures was marked. @param {From} from */
export const heldMarks = (from) => (last?.from === from ? last.joints : null);

/**
 * What the marks of the last set say of a new still picture; null where none was marked.
 * @param {import('./still.js').Still} still
 * @returns {{ joints: Joints, sure: boolean, said: string } | null} sure: they need not be shown again
 */
export function marksFor({ crops: [picture] }) {
  if (!last) return null;
  const { scale = 1 } = last.picture;
  const by = (/** @type {Joints} */ joints, /** @type {number} */ k) =>
    /** @type {Joints} */ (Object.fromEntries(Object.entries(joints).map(([joint, [x, y]]) => [joint, [x * k, y * k]])));
  const { stands, all, joints } = carryMarks(last.picture, by(last.joints, 1 / scale), picture);
  if (!stands) return { joints: last.joints, sure: false, said: 'The phone moved: show me again.' };
  if (!all)
    return { joints: { ...last.joints, ...by(joints, scale) }, sure: false, said: 'The phone has not moved, but the feet stand otherwise: show me again.' };
  return { joints: by(joints, scale), sure: true, said: 'The phone has not moved: the marks of the last set are used.' };
}
