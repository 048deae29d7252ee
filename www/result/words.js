// @ts-check
/** The trade's words for checks, verdicts and reasons. Names and units are the contract's. */

/**
 * @typedef {object} CheckWords
 * @property {string} key
 * @property {string} label
 * @property {string} unit
 * @property {boolean} sided
 * @property {number} digits
 * @property {string} reads what the sign means
 */

/** @type {CheckWords[]} */
export const CHECKS = [
  { key: 'heel_lift_mm', label: 'Heel lift', unit: 'mm', sided: true, digits: 0, reads: 'up = heel higher than in standing' },
  { key: 'knee_in_deg', label: 'Knee in', unit: '°', sided: true, digits: 0, reads: 'up = knee inside the foot, down = outside' },
  { key: 'foot_roll_deg', label: 'Foot roll', unit: '°', sided: true, digits: 0, reads: 'up = rolled in, down = rolled out' },
  { key: 'forward_pct', label: 'Weight forward', unit: '% of foot', sided: false, digits: 0, reads: 'up = toward the toes' },
  { key: 'load_left_pct', label: 'Weight on the left foot', unit: '%', sided: false, digits: 0, reads: '50 = even' },
];

export const SIDES = /** @type {const} */ (['left', 'right']);

/** @type {Record<string, string>} */
export const VERDICTS = { clear: 'clear', unsure: 'unsure', fault: 'fault', unseen: 'not seen' };

/** @type {Record<string, string>} why a check was not seen, by the report's word */
const WHY = {
  layout: 'these keypoints have no points for it',
  view: 'can’t be judged from this side',
  missing: 'the points were hidden or out of the picture',
  standing: 'no quiet standing to read it against',
  noise: 'the points shook too much',
};

/** @param {string | undefined} why @returns {string} '' when the report doesn't say */
export function whyUnseen(why) {
  return WHY[why ?? ''] ?? '';
}

/**
 * Every check and side as one row.
 * @returns {{ check: CheckWords, side: 'left' | 'right' | null, name: string }[]}
 */
export function rows() {
  return CHECKS.flatMap((check) => {
    const sides = check.sided ? SIDES : /** @type {const} */ ([null]);
    return sides.map((side) => ({ check, side, name: side ? `${check.label}, ${side}` : check.label }));
  });
}

/** @param {any} rep @param {CheckWords} check @param {'left' | 'right' | null} side */
export function markOf(rep, check, side) {
  return side ? rep[check.key]?.[side] : rep[check.key];
}

/** A number with a true minus sign. @param {number} value @param {number} [digits] */
export function number(value, digits = 0) {
  const text = Math.abs(value).toFixed(digits);
  return value < 0 && Number(text) !== 0 ? `−${text}` : text;
}

/** @type {Record<string, string>} */
const VIEWS = {
  front: 'from the front', 'front-left': 'from the front, lifter’s left', left: 'from the lifter’s left', 'rear-left': 'from behind, lifter’s left',
  rear: 'from behind', 'rear-right': 'from behind, lifter’s right', right: 'from the lifter’s right', 'front-right': 'from the front, lifter’s right',
};

/** @param {any} view */
export function viewWords(view) {
  if (!view) return 'Where the camera stood could not be told.';
  return `Filmed ${VIEWS[view.name] ?? view.name}, about ${view.distance_m.toFixed(1)} m away.`;
}
