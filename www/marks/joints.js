// @ts-check
/** The joints that are marked, and where they are put before anybody has dragged them. */

/** @typedef {import('../pkg/index.js').MarkedJoint} MarkedJoint */
/** @typedef {Partial<Record<MarkedJoint, [number, number]>>} Joints px of the picture */
/** @typedef {'left' | 'right'} Side */

/** Parts of a leg, from above, with what to look for. */
export const PARTS = /** @type {const} */ ([
  ['knee', 'knee', 'the middle of the knee joint'],
  ['ankle', 'ankle', 'between the two ankle bones'],
  ['heel', 'heel', 'the back of the heel, just above the floor'],
  ['big_toe', 'big toe', 'the tip of the big toe, or where it is in the shoe'],
  ['small_toe', 'little toe', 'the tip of the little toe, or where it is in the shoe'],
]);

export const SIDES = /** @type {const} */ (['left', 'right']);

/** @type {MarkedJoint[]} */
export const JOINTS = SIDES.flatMap((side) => PARTS.map(([part]) => /** @type {MarkedJoint} */ (`${side}_${part}`)));

/** @param {MarkedJoint} joint @returns {string} such as `left big toe` */
export function nameOf(joint) {
  const [side, ...part] = joint.split('_');
  return `${side} ${PARTS.find(([key]) => key === part.join('_'))?.[1]}`;
}

/** Views that a template is made for. */
export const VIEWS = /** @type {const} */ ([
  ['front', 'From the front'],
  ['rear', 'From behind'],
  ['side', 'From the side'],
]);

/** Two feet on a floor line, in shin lengths from the middle: x outward from the middle of the picture, y up from the floor. */
const TEMPLATE = {
  front: { knee: [0.42, 1.15], ankle: [0.42, 0.17], heel: [0.4, 0.1], big_toe: [0.5, -0.05], small_toe: [0.6, 0] },
  rear: { knee: [0.42, 1.15], ankle: [0.42, 0.17], heel: [0.42, 0], big_toe: [0.45, 0.1], small_toe: [0.56, 0.1] },
  side: { knee: [0.06, 1.15], ankle: [0, 0.17], heel: [-0.15, 0.03], big_toe: [0.45, 0], small_toe: [0.37, 0.04] },
};

/**
 * Where the marks begin when nothing has found the legs.
 * @param {'front' | 'rear' | 'side'} view
 * @param {number} width of the picture, px
 * @param {number} height
 * @returns {Joints}
 */
export function template(view, width, height) {
  const shin = 0.42 * Math.min(height, width);
  const floor = 0.88 * height;
  /** @type {Joints} */
  const joints = {};
  for (const side of SIDES) {
    // Seen from the front the lifter's left is at the picture's right.
    const out = (side === 'left') === (view === 'front') ? 1 : -1;
    for (const [part] of PARTS) {
      const [x, y] = TEMPLATE[view][part];
      const at = view === 'side' ? x * shin : out * x * shin;
      // From the side one foot stands a little further up in the picture.
      const up = view === 'side' && side === 'right' ? 0.2 * shin : 0;
      joints[/** @type {MarkedJoint} */ (`${side}_${part}`)] = [Math.round(width / 2 + at), Math.round(floor - y * shin - up)];
    }
  }
  return joints;
}

/** The other names: left for right. @param {Joints} joints @returns {Joints} */
export function swapped(joints) {
  return Object.fromEntries(
    Object.entries(joints).map(([joint, at]) => [joint.startsWith('left') ? joint.replace('left', 'right') : joint.replace('right', 'left'), at]),
  );
}

/** Indices of an estimator's points (BlazePose-33), from the left knee down; the right ones are one further. */
const FOUND = { knee: 25, ankle: 27, heel: 29, big_toe: 31 };
/** How sure a point must be. */
const SURE = 0.5;

/**
 * What an estimator found of both legs; null where it found too little.
 * @param {ArrayLike<number> | null} points flat: x, y, score
 * @param {number} width of the picture, px
 * @param {number} height
 * @returns {Joints | null}
 */
export function fromEstimator(points, width, height) {
  if (!points) return null;
  /** @type {Joints} */
  const joints = {};
  for (const [i, side] of SIDES.entries()) {
    for (const [part, index] of Object.entries(FOUND)) {
      const k = 3 * (index + i);
      const [x, y, score] = [points[k], points[k + 1], points[k + 2]];
      if (!(score >= SURE && x >= 0 && y >= 0 && x <= width && y <= height)) return null;
      joints[/** @type {MarkedJoint} */ (`${side}_${part}`)] = [x, y];
    }
    const [heel, toe] = [joints[`${side}_heel`], joints[`${side}_big_toe`]];
    if (!heel || !toe) return null;
    // The estimator has one toe point; the little toe stands a little behind it, outside.
    const out = Math.sign(toe[0] - heel[0]) || 1;
    joints[`${side}_small_toe`] = [Math.min(width, Math.max(0, toe[0] + out * 0.12 * Math.hypot(toe[0] - heel[0], toe[1] - heel[1]))), toe[1] - 4];
  }
  return joints;
}
