// @ts-check
/** Words for the coach's loop. */

import { VIEWS } from '../share/check-link.js';

/** @type {Record<import('../share/check-link.js').Check['views'][number], string>} */
export const VIEW_WORDS = {
  front: 'From the front',
  'front-left': 'Front-left (45 degrees)',
  left: 'From the left side',
  'rear-left': 'Back-left (45 degrees)',
  rear: 'From behind',
  'rear-right': 'Back-right (45 degrees)',
  right: 'From the right side',
  'front-right': 'Front-right (45 degrees)',
};

/** How to stand for it. @type {typeof VIEW_WORDS} */
export const VIEW_HINTS = {
  front: 'face the camera',
  'front-left': 'half turned: your left foot nearer the camera',
  left: 'your left side to the camera',
  'rear-left': 'half turned away: your left foot nearer the camera',
  rear: 'your back to the camera',
  'rear-right': 'half turned away: your right foot nearer the camera',
  right: 'your right side to the camera',
  'front-right': 'half turned: your right foot nearer the camera',
};

/** Further from the wanted side than this, degrees, other things are seen than were asked for; common practice, no source. */
const OFF_DEG = 40;
/** Between neighbouring views, degrees, in the order of `VIEWS`; the report's azimuth counts the same way. */
const STEP_DEG = 45;

/**
 * What is other than asked in a set, as a sentence, or ''.
 * @param {any} report
 * @param {string} wanted a view, or ''
 * @param {number} reps asked, or 0
 */
export function otherThanAsked(report, wanted, reps) {
  const want = VIEWS.findIndex((view) => view === wanted);
  const turn = Math.abs((((report.view?.azimuth_deg ?? NaN) - STEP_DEG * want + 540) % 360) - 180);
  const off = want >= 0 && turn > OFF_DEG;
  return [
    off ? `It looks filmed about ${Math.round(turn / 5) * 5} degrees away from what was asked: ${VIEW_HINTS[VIEWS[want]]}.` : '',
    report.reps.length < reps ? `${report.reps.length} of ${reps} repetitions were counted.` : '',
  ]
    .filter(Boolean)
    .join(' ');
}

/** What a set showed, by the finding's name. @type {Record<string, string>} */
const FINDINGS = {
  none: 'no faults in what we could see',
  'not-enough-seen': 'not enough seen to say',
  forward: 'weight goes toward the toes',
  inward: 'feet and knees go inward',
  'forward-inward': 'weight goes toward the toes, feet and knees inward',
  outward: 'weight on the outer edges',
  sideways: 'more on one side than on the other',
  'not-squats': 'doesn’t look like squats',
};

/** @param {string} kind @param {string | null} side */
export function findingWords(kind, side) {
  return `${FINDINGS[kind] ?? kind}${side ? ` (${side})` : ''}`;
}

/** A day in ms. */
const DAY_MS = 86_400_000;

/** A day as a number that differs by one from the next day's. @param {string} day `YYYY-MM-DD` */
export function dayNumber(day) {
  const at = Date.parse(`${day}T00:00:00Z`);
  return Number.isNaN(at) ? undefined : Math.floor(at / DAY_MS);
}

/** A day as people write it. @param {string} day `YYYY-MM-DD` */
export function dayWords(day) {
  const date = new Date(`${day}T12:00:00`);
  return Number.isNaN(date.getTime()) ? day : date.toLocaleDateString(undefined, { dateStyle: 'medium' });
}

/** The day here, `YYYY-MM-DD`. @param {number} [at] ms since 1970; now when left out */
export function dayToday(at = Date.now()) {
  const date = new Date(at);
  return [date.getFullYear(), date.getMonth() + 1, date.getDate()].map((n) => String(n).padStart(2, '0')).join('-');
}

/** A day in little room; its year only where it is another one. @param {string} day `YYYY-MM-DD` */
export function shortDay(day) {
  const date = new Date(`${day}T12:00:00`);
  if (Number.isNaN(date.getTime())) return day || 'No day';
  return date.toLocaleDateString(undefined, {
    day: 'numeric',
    month: 'short',
    ...(date.getFullYear() === new Date().getFullYear() ? {} : { year: 'numeric' }),
  });
}
