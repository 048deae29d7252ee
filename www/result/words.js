// @ts-check
/** The trade's words for checks, verdicts and reasons. Names and units are the contract's. */

/**
 * @typedef {object} CheckWords
 * @property {string} key
 * @property {string} label
 * @property {string} part what it is about, after `left` or `right` where it has sides
 * @property {string} row what it is called beside a side
 * @property {string} unit
 * @property {boolean} sided
 * @property {number} digits
 * @property {string} reads what the sign means
 */

/** @type {CheckWords[]} */
export const CHECKS = [
  {
    key: 'heel_lift_mm',
    label: 'Heel lift',
    part: 'heel',
    row: 'heel',
    unit: 'mm off the floor',
    sided: true,
    digits: 0,
    reads: 'up = heel higher than in standing',
  },
  {
    key: 'knee_in_deg',
    label: 'Knee over the foot',
    part: 'knee',
    row: 'knee',
    unit: 'degrees in or out',
    sided: true,
    digits: 0,
    reads: 'up = inside the foot, down = outside',
  },
  {
    key: 'foot_roll_deg',
    label: 'Foot roll',
    part: 'foot',
    row: 'foot roll',
    unit: 'degrees in or out',
    sided: true,
    digits: 0,
    reads: 'up = rolled in, down = rolled out',
  },
  {
    key: 'forward_pct',
    label: 'Weight forward',
    part: 'weight',
    row: 'weight forward',
    unit: '% of the foot’s length',
    sided: false,
    digits: 0,
    reads: 'up = toward the toes',
  },
  {
    key: 'load_left_pct',
    label: 'Left-right balance',
    part: 'load',
    row: 'balance',
    unit: '% on the left foot',
    sided: false,
    digits: 0,
    reads: '50 = even; up = more on the left foot',
  },
];

export const SIDES = /** @type {const} */ (['left', 'right']);

/** @type {Record<string, string>} */
export const VERDICTS = { clear: 'OK', unsure: 'unsure', fault: 'fault', unseen: 'not seen' };

/** @type {Record<string, string>} why a check was not seen, by the report's word */
const WHY = {
  layout: 'this pose data has no points for it',
  view: 'can’t be judged from this side',
  missing: 'the points were hidden or out of the picture',
  standing: 'you weren’t standing still long enough at the start',
  noise: 'tracking was too shaky',
  'not-a-squat': 'doesn’t look like a squat',
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
    return sides.map((side) => ({ check, side, name: side ? `${sideName(side)} ${check.row}` : check.label }));
  });
}

/** @param {any} rep @param {CheckWords} check @param {'left' | 'right' | null} side */
export function markOf(rep, check, side) {
  return side ? rep[check.key]?.[side] : rep[check.key];
}

/** @param {'left' | 'right'} side */
export function sideName(side) {
  return side === 'left' ? 'Left' : 'Right';
}

/** A value as it stands in a cell: which way it goes is a word. @param {number} value @param {CheckWords} check */
export function short(value, check) {
  const size = number(Math.abs(value), check.digits);
  switch (check.key) {
    case 'heel_lift_mm':
      return value < 0.5 ? 'down' : `${size} up`;
    case 'knee_in_deg':
    case 'foot_roll_deg':
      return size === '0' ? '0' : `${size} ${value > 0 ? 'in' : 'out'}`;
    case 'forward_pct':
      return size === '0' || value > 0 ? size : `${size} back`;
    default:
      return size;
  }
}

/** A value after the name of what it is about. @param {number} value @param {CheckWords} check */
export function said(value, check) {
  const size = number(Math.abs(value), check.digits);
  switch (check.key) {
    case 'heel_lift_mm':
      return value < 0.5 ? 'on the floor' : `${size} mm off the floor`;
    case 'knee_in_deg':
      return size === '0' ? 'over the foot' : `${size} degrees ${value > 0 ? 'inside' : 'outside'} the foot’s line`;
    case 'foot_roll_deg':
      return size === '0' ? 'as in standing' : `rolled ${size} degrees ${value > 0 ? 'in' : 'out'}`;
    case 'forward_pct':
      return `${size} % of the foot’s length ${value > 0 ? 'forward' : 'back'}`;
    default:
      return `${size} % on the left foot`;
  }
}

/** From here on the thigh is told from level, degrees. */
const LEVEL_DEG = 2;
const JUST_DEG = 6;

/** Depth as people say it, from the thigh at the bottom. @param {any} rep */
export function depthWords(rep) {
  const below = rep.thigh_deg?.value ?? null;
  if (below === null) return rep.depth === null || rep.depth === undefined ? 'depth not seen' : '';
  const size = Math.abs(below);
  const degrees = `${Math.round(size)} degrees`;
  if (size < LEVEL_DEG) return 'thighs level';
  return `${size < JUST_DEG ? 'just ' : ''}${below > 0 ? 'below' : 'above'} level (${degrees})`;
}

/** A number with a true minus sign. @param {number} value @param {number} [digits] */
export function number(value, digits = 0) {
  const text = Math.abs(value).toFixed(digits);
  return value < 0 && Number(text) !== 0 ? `−${text}` : text;
}

/** @type {Record<string, string>} */
const VIEWS = {
  front: 'from the front',
  'front-left': 'from the front, lifter’s left',
  left: 'from the lifter’s left',
  'rear-left': 'from behind, lifter’s left',
  rear: 'from behind',
  'rear-right': 'from behind, lifter’s right',
  right: 'from the lifter’s right',
  'front-right': 'from the front, lifter’s right',
};

/** From which side, in a few words. @param {any} view */
export function sideWords(view) {
  return view ? (VIEWS[view.name] ?? view.name) : '';
}

/** @param {any} view */
export function viewWords(view) {
  if (!view) return 'We can’t tell where the camera stood.';
  return `Filmed ${VIEWS[view.name] ?? view.name}, about ${view.distance_m.toFixed(1)} m away.`;
}
