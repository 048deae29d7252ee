// @ts-check
/** How the feet were followed in a film, from a file: a stranger's data, so that anything else than points is left out. */

/** @typedef {import('../figure/tracked-foot.js').Feet} Feet */
/** @typedef {import('../figure/tracked-foot.js').Foot} Foot */
/** @typedef {import('../figure/tracked-foot.js').Point} Point */

/** More points than any outline has. */
const MOST = 200;

/**
 * @param {unknown} raw
 * @param {number} frames of the recording
 * @returns {Feet[]} empty when it is not a list of so many
 */
export function feetFrom(raw, frames) {
  if (!Array.isArray(raw) || raw.length !== frames) return [];
  return raw.map((one) => ({ left: foot(one?.left), right: foot(one?.right) }));
}

/** @param {any} raw @returns {Foot | null} */
function foot(raw) {
  if (!raw || !Array.isArray(raw.outline) || raw.outline.length > MOST) return null;
  const outline = raw.outline.map(point);
  if (outline.some((/** @type {Point | null} */ p) => p === null)) return null;
  return {
    outline,
    heel: point(raw.heel),
    big_toe: point(raw.big_toe),
    small_toe: point(raw.small_toe),
    lost: typeof raw.lost === 'string' ? raw.lost.slice(0, 40) : null,
  };
}

/** @param {any} raw @returns {Point | null} */
function point(raw) {
  return Array.isArray(raw) && Number.isFinite(raw[0]) && Number.isFinite(raw[1]) ? [raw[0], raw[1]] : null;
}
