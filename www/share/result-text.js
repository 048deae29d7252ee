// @ts-check
/**
 * A result file as text: share sheets take text files and refuse kinds that they don't know, and text can be pasted into a mail.
 * base64url (RFC 4648, section 5) between two marks, wrapped as mail wants it (RFC 2045, section 6.8: 76 characters).
 */
import { base64urlnopad } from '../vendor/scure-base/index.js';
import { MAX_FILE_BYTES } from './envelope.js';
import { ShareError } from './errors.js';

const BEGIN = 'underfoot-file:';
const END = ':end';
const LINE = 76;
/** Longest text looked at: the largest file, with what mail adds to it. */
export const MAX_TEXT_BYTES = 2 * MAX_FILE_BYTES;
/** What mail may put into it: spaces, ends of lines, signs of a quotation, encoded line ends (RFC 2045, section 6.7). */
const ADDED = /=\r?\n|[\s>|]+/g;

/** @param {Uint8Array} bytes of a result file @returns {string} */
export function toText(bytes) {
  const lines = base64urlnopad.encode(bytes).match(new RegExp(`.{1,${LINE}}`, 'g')) ?? [];
  return ['A squat result. Open this file, or paste all of this text, on the coach’s desk of the Underfoot page.', BEGIN, ...lines, END, ''].join('\n');
}

/**
 * @param {string} text
 * @returns {Uint8Array | null} null when there is no result file in it
 * @throws {ShareError} when it is not whole
 */
export function fromText(text) {
  const start = text.indexOf(BEGIN);
  if (start < 0) return null;
  if (text.length > MAX_TEXT_BYTES) throw new ShareError('too-large');
  const end = text.indexOf(END, start + BEGIN.length);
  if (end < 0) throw new ShareError('damaged', 'the end is missing');
  try {
    return base64urlnopad.decode(text.slice(start + BEGIN.length, end).replace(ADDED, ''));
  } catch (error) {
    throw new ShareError('damaged', String(error));
  }
}
