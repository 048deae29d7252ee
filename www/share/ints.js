// @ts-check
/**
 * Lists of whole numbers as bytes: zigzag, then seven bits a byte, least first (the variable-length
 * integers of Protocol Buffers' encoding). Small numbers cost one byte, and a reader holds no more
 * than was sent.
 */
import { damaged } from './fields.js';

/** Largest size of a number. */
export const INT_MAX = 2 ** 30;

/** @param {number[]} values whole; larger ones are cut to {@link INT_MAX} @returns {Uint8Array} */
export function packInts(values) {
  const out = new Uint8Array(5 * values.length);
  let at = 0;
  for (const value of values) {
    const cut = Math.max(-INT_MAX, Math.min(INT_MAX, value));
    let left = ((cut << 1) ^ (cut >> 31)) >>> 0;
    while (left >= 0x80) {
      out[at] = (left & 0x7f) | 0x80;
      at += 1;
      left >>>= 7;
    }
    out[at] = left;
    at += 1;
  }
  return out.slice(0, at);
}

/**
 * @param {unknown} bytes
 * @param {number} most numbers
 * @param {string} what
 * @returns {Int32Array}
 * @throws {import('./errors.js').ShareError}
 */
export function unpackInts(bytes, most, what) {
  if (!(bytes instanceof Uint8Array)) damaged(what);
  const out = new Int32Array(Math.min(most, bytes.length));
  let count = 0;
  let value = 0;
  let shift = 0;
  for (const byte of bytes) {
    if (shift > 28) damaged(what);
    value |= (byte & 0x7f) << shift;
    shift += 7;
    if (byte & 0x80) continue;
    if (count >= out.length) damaged(what);
    out[count] = (value >>> 1) ^ -(value & 1);
    count += 1;
    value = 0;
    shift = 0;
  }
  if (shift) damaged(what);
  return out.subarray(0, count);
}
