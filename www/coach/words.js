// @ts-check
/** Words for the coach's loop. */

/** @type {Record<import('../share/check-link.js').Check['views'][number], string>} */
export const VIEW_WORDS = {
  front: 'From the front',
  'front-left': 'Half front, left',
  left: 'From the left side',
  'rear-left': 'Half behind, left',
  rear: 'From behind',
  'rear-right': 'Half behind, right',
  right: 'From the right side',
  'front-right': 'Half front, right',
};

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
