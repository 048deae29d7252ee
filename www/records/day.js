// @ts-check

/** Day and time of a set in the reader's own form. @param {string} made ISO 8601 */
export function dayOf(made) {
  return new Date(made).toLocaleString(undefined, { dateStyle: 'medium', timeStyle: 'short' });
}
