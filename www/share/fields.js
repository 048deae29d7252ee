// @ts-check
/** Small readers for plain data from strangers: the wrong shape is 'damaged', never a surprise. */
import { ShareError } from './errors.js';

/** @param {string} what @returns {never} */
export function damaged(what) {
  throw new ShareError('damaged', what);
}

/**
 * @param {unknown} value
 * @param {number} max most elements
 * @param {string} what
 * @returns {unknown[]}
 */
export function list(value, max, what) {
  if (!Array.isArray(value) || value.length > max) damaged(what);
  return value;
}

/**
 * @param {unknown} value
 * @param {number} low
 * @param {number} high
 * @param {string} what
 * @returns {number}
 */
export function whole(value, low, high, what) {
  if (typeof value !== 'number' || !Number.isSafeInteger(value) || value < low || value > high) damaged(what);
  return value;
}

/**
 * @param {unknown} value
 * @param {number} low
 * @param {number} high
 * @param {string} what
 * @returns {number}
 */
export function real(value, low, high, what) {
  if (typeof value !== 'number' || !(value >= low && value <= high)) damaged(what);
  return value;
}

/**
 * @template T
 * @param {unknown} value null or undefined stay null
 * @param {(value: unknown) => T} read
 * @returns {T | null}
 */
export function maybe(value, read) {
  return value === null || value === undefined ? null : read(value);
}

/**
 * @template {string} T
 * @param {unknown} value index into `names`
 * @param {readonly T[]} names
 * @param {string} what
 * @returns {T}
 */
export function nameAt(value, names, what) {
  return names[whole(value, 0, names.length - 1, what)];
}

/**
 * A day of the calendar from 2000 to 2099, `YYYY-MM-DD`.
 * @param {unknown} value
 * @returns {string}
 */
export function day(value) {
  if (typeof value !== 'string' || !/^20\d{2}-\d{2}-\d{2}$/.test(value)) damaged('day');
  // A day that the calendar does not have comes back as another one, or as none.
  const at = new Date(`${value}T00:00:00Z`);
  if (Number.isNaN(at.getTime()) || at.toISOString().slice(0, 10) !== value) damaged('day');
  return value;
}

/**
 * @param {unknown} value
 * @param {string} what
 * @returns {boolean}
 */
export function truth(value, what) {
  if (typeof value !== 'boolean') damaged(what);
  return value;
}

/**
 * @param {unknown} value
 * @param {string} what
 * @returns {Record<string, unknown>}
 */
export function record(value, what) {
  if (typeof value !== 'object' || value === null || Array.isArray(value) || ArrayBuffer.isView(value)) damaged(what);
  return /** @type {Record<string, unknown>} */ (value);
}
