// @ts-check
/** What the set-up view says: who is in the picture, the light, and what can be judged from here. */
import { SEEN } from '../figure/joints.js';
import { CHECKS, SIDES } from '../result/words.js';

const HEAD = [0, 7, 8];
const FEET = [27, 28, 29, 30, 31, 32];
/** Mean luma of the picture below which points start to shake; common practice, no source. */
const DARK = 45;
/** Share of the picture's height that the lifter should fill at least; common practice, no source. */
const SMALL = 0.35;

/** @typedef {{ word: 'yes' | 'no' | 'wait', text: string }} Line */

/**
 * @param {Float32Array | null} points BlazePose-33
 * @param {number} width
 * @param {number} height
 * @param {number} luma mean, 0 to 255
 * @returns {{ lines: Line[], ready: boolean }}
 */
export function frameLines(points, width, height, luma) {
  if (!points) {
    const dark = luma < DARK ? [{ word: /** @type {const} */ ('no'), text: 'It is too dark: put a light behind the phone.' }] : [];
    return { lines: [...dark, { word: 'wait', text: 'Nobody seen yet: step into the picture.' }], ready: false };
  }
  const inside = (/** @type {number} */ i) =>
    points[3 * i + 2] >= SEEN && points[3 * i] > 2 && points[3 * i] < width - 2 && points[3 * i + 1] > 2 && points[3 * i + 1] < height - 2;
  const feet = FEET.every(inside);
  const head = HEAD.some(inside);
  const ys = [...HEAD, ...FEET].filter((i) => points[3 * i + 2] >= SEEN).map((i) => points[3 * i + 1]);
  const tall = (Math.max(...ys) - Math.min(...ys)) / height;
  /** @type {Line[]} */
  const lines = [
    feet ? { word: 'yes', text: 'Both feet are in the picture.' } : { word: 'no', text: 'Feet are cut off or hidden: tilt the phone down or step back.' },
    head
      ? { word: 'yes', text: 'Seen from head to feet.' }
      : { word: 'wait', text: 'The head is out of the picture; feet and shins are enough, but the whole body is better.' },
  ];
  if (luma < DARK) lines.push({ word: 'no', text: 'It is dark: put a light behind the phone.' });
  if (head && tall < SMALL) lines.push({ word: 'wait', text: 'Come closer: you fill little of the picture.' });
  return { lines, ready: feet };
}

/** Leaning more than this is worth setting right, degrees; common practice, no source. */
const LEANS = 5;
const TIPS = 20;

/**
 * @param {import('./tilt.js').Tilt | null} tilt null where there is no sensor
 * @returns {Line[]}
 */
export function tiltLines(tilt) {
  if (!tilt) return [];
  if (Math.abs(tilt.roll_deg) > LEANS)
    return [{ word: 'no', text: `The phone leans ${Math.round(Math.abs(tilt.roll_deg))} degrees to one side: stand it upright.` }];
  if (Math.abs(tilt.pitch_deg) > TIPS)
    return [
      {
        word: 'no',
        text: `The phone looks ${tilt.pitch_deg > 0 ? 'up' : 'down'} by ${Math.round(Math.abs(tilt.pitch_deg))} degrees: set it lower or more upright.`,
      },
    ];
  return [{ word: 'yes', text: 'The phone stands level.' }];
}

/** Why a foot is not followed. @type {Record<string, string>} */
const LOST = { dark: 'it is too dark', blurred: 'its picture is blurred', covered: 'it is hidden, or was moved', 'no-picture': 'it is out of the picture' };

/**
 * Whether the feet's own picture is followed, once standing is known.
 * @param {import('../figure/tracked-foot.js').Feet} [feet]
 * @returns {Line[]}
 */
export function followLines(feet) {
  const without = SIDES.filter((side) => !feet?.[side]?.outline.length);
  if (!without.length) return [{ word: 'yes', text: 'Tracking both feet.' }];
  return without.map((side) => ({ word: 'wait', text: `The ${side} foot can’t be tracked: ${LOST[feet?.[side]?.lost ?? ''] ?? 'show more of it'}.` }));
}

/** A value is called clear or a fault with 90 % certainty (one-sided, normal distribution): so many standard errors from the line. */
const SURE = 1.2816;

/**
 * How well a check can be judged when its error at the bottom of a squat will be `sd`: even an ordinary value must be told
 * from its line, or only a value as far beyond the line again.
 * @param {number | null | undefined} sd
 * @param {number} room from an ordinary value to the nearer line
 * @returns {Line['word']}
 */
function judged(sd, room) {
  if (sd === null || sd === undefined) return 'no';
  if (SURE * sd <= room) return 'yes';
  return SURE * sd <= 2 * room ? 'wait' : 'no';
}

/**
 * What can be judged from here, once standing is known.
 * @param {Record<string, any> | null} expected standard errors by check and side, as `live.can_see` gives them
 * @param {Record<string, { low?: number | null, high?: number | null }>} faults lines by check
 * @returns {Line[]}
 */
export function sightLines(expected, faults) {
  if (!expected) return [];
  return CHECKS.map((check) => {
    const ordinary = check.key === 'load_left_pct' ? 50 : 0;
    const { low, high } = faults[check.key] ?? {};
    const room = Math.min(...[low, high].flatMap((line) => (typeof line === 'number' ? [Math.abs(line - ordinary)] : [])));
    const words = (check.sided ? SIDES : /** @type {const} */ ([null])).map((side) => judged(side ? expected[check.key]?.[side] : expected[check.key], room));
    const [one, other = one] = words;
    const { name, advice } = NAMES[check.key];
    if (one === 'no' && other === 'no') return { word: 'no', text: `${name}: not from here; ${advice}.` };
    if (one === 'no' || other === 'no') return { word: 'wait', text: `${name}: the ${one === 'no' ? 'right' : 'left'} side only.` };
    if (one === 'wait' || other === 'wait') return { word: 'wait', text: `${name}: only large errors; ${advice} to see more.` };
    return { word: 'yes', text: `${name}: yes.` };
  });
}

/** The checks as a lifter says them, and what shows them better. @type {Record<string, { name: string, advice: string }>} */
const NAMES = {
  heel_lift_mm: { name: 'Heels', advice: 'turn side-on' },
  knee_in_deg: { name: 'Knees over feet', advice: 'face the camera' },
  foot_roll_deg: { name: 'Feet rolling in or out', advice: 'face the camera, closer, with more light' },
  forward_pct: { name: 'Weight forward', advice: 'turn side-on' },
  load_left_pct: { name: 'Weight left and right', advice: 'face the camera' },
};

/**
 * The one thing to do now, read from three metres away.
 * @param {boolean} seen somebody is in the picture
 * @param {boolean} feet both feet are
 * @param {number} countIn share of the count-in
 */
export function headline(seen, feet, countIn) {
  if (!seen) return 'Step into the picture';
  if (!feet) return 'Step back: show both feet';
  return countIn > 0 ? 'Stay still…' : 'Stand still to start';
}
