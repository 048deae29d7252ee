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

/** A day as people write it. @param {string} day `YYYY-MM-DD` */
export function dayWords(day) {
  const date = new Date(`${day}T12:00:00`);
  return Number.isNaN(date.getTime()) ? day : date.toLocaleDateString(undefined, { dateStyle: 'medium' });
}
