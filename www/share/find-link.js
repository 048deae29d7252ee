// @ts-check
/**
 * The link inside an address or a pasted message. Chat and mail programs add full stops, brackets and parameters, encode
 * what needs no encoding, and wrap lines; the checksum in the link tells which reading is the right one.
 */
import { decodeCheck } from './check-link.js';
import { ShareError } from './errors.js';
import { decodeSummary } from './result-link.js';

/** Longest text looked at: a link of the largest size in a message, every character of it percent-encoded. */
const MAX_TEXT = 64 * 1024;
/** Most pieces that a link was wrapped into. */
const MAX_PIECES = 300;
/** How often a link may have been percent-encoded. */
const ENCODED = 3;
/** What a link begins with: its mark and, in base64url, the head of gzip (RFC 1952: 1f 8b 08). */
const START = /(check|result)\.(?=H4sI)/gi;
/** Soft hyphens and characters without width, a soft line break of mail (RFC 2045, section 6.7), signs of a quoted line. */
const ADDED = /[\u00ad\u200b-\u200d\u2060\ufeff]|=\r?\n|(?<=\n)[>| \t]+/g;

/** @typedef {{ kind: 'check', fragment: string, check: import('./check-link.js').Check }} CheckLink */
/** @typedef {{ kind: 'result', fragment: string, summary: import('./result-link.js').ResultSummary }} SummaryLink */

/**
 * @param {string} text an address, its fragment, or a message with a link somewhere in it
 * @returns {CheckLink | SummaryLink}
 * @throws {ShareError} `not-ours` when no link is in it, otherwise why the first one can't be read
 */
export function readLink(text) {
  /** @type {ShareError | null} */
  let first = null;
  for (const fragment of fragmentsIn(text)) {
    try {
      return fragment.startsWith('check.')
        ? { kind: 'check', fragment, check: decodeCheck(fragment) }
        : { kind: 'result', fragment, summary: decodeSummary(fragment) };
    } catch (error) {
      if (!(error instanceof ShareError)) throw error;
      // Whole, but from a newer version: no other reading is better.
      if (error.code === 'newer') throw error;
      first ??= error;
    }
  }
  throw first ?? new ShareError('not-ours');
}

/**
 * Readings of the text as a link, the likeliest first.
 * @param {string} text
 * @returns {Generator<string>}
 */
export function* fragmentsIn(text) {
  const plain = decoded(text.slice(0, MAX_TEXT)).replace(ADDED, '');
  const seen = new Set();
  for (const { 0: start, 1: mark, index } of plain.matchAll(START)) {
    const pieces = plain.slice(index + start.length).split(/\s+/, MAX_PIECES);
    let body = '';
    for (const piece of pieces) {
      const [run] = /^[\w-]*/.exec(piece) ?? [''];
      body += run;
      // A dash or an underscore at the end may be the message's own.
      for (const reading of [body, body.replace(/[-_]{1,3}$/, '')]) {
        const fragment = `${mark.toLowerCase()}.${reading}`;
        if (run && !seen.has(fragment)) yield fragment;
        seen.add(fragment);
      }
      // Only a piece that is nothing but the link goes on in the next line.
      if (run !== piece) break;
    }
  }
}

/** Percent-encoding taken away (RFC 3986, section 2.1); a link holds ASCII only. @param {string} text */
function decoded(text) {
  let plain = text;
  for (let i = 0; i < ENCODED; i += 1) plain = plain.replace(/%([0-7][0-9a-f])/gi, (_, hex) => String.fromCharCode(Number.parseInt(hex, 16)));
  return plain;
}
