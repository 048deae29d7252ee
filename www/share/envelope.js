// @ts-check
/**
 * The form that links and files share: CBOR (RFC 8949) inside gzip (RFC 1952), whose CRC-32 is
 * the checksum. Links carry it as base64url without padding (RFC 4648, section 5).
 */
import { Tokenizer, decode, encode } from '../vendor/cborg/cborg.js';
import { Inflate, gzip } from '../vendor/pako/pako.js';
import { base64urlnopad } from '../vendor/scure-base/index.js';
import { ShareError } from './errors.js';

/** Largest inflated payload. Four sets of 10 repetitions need about 1 MB. */
const MAX_INFLATED = 4 * 1024 * 1024;
/** Most values in a payload: one byte can ask for an object of 60. A repetition has about 100. */
const MAX_VALUES = 150_000;
/** Largest file as received. */
export const MAX_FILE_BYTES = 2 * 1024 * 1024;
/** Longest fragment looked at. */
export const MAX_FRAGMENT = 16 * 1024;

/**
 * @param {string} kind short name of what is inside
 * @param {number} version of the payload's form
 * @param {unknown} payload plain data
 * @returns {Uint8Array}
 */
export function seal(kind, version, payload) {
  return gzip(encode([kind, version, payload]), { level: 9 });
}

/**
 * @param {Uint8Array} bytes
 * @param {string} kind what is expected
 * @param {number} newest the newest version that this page reads
 * @param {{ file?: number, inflated?: number }} [most] bytes as received, and once inflated
 * @returns {{ version: number, payload: unknown }}
 */
export function open(bytes, kind, newest, { file = MAX_FILE_BYTES, inflated = MAX_INFLATED } = {}) {
  if (bytes.length > file) throw new ShareError('too-large');
  if (bytes.length < 18 || bytes[0] !== 0x1f || bytes[1] !== 0x8b) throw new ShareError('not-ours');
  const value = decodeCbor(inflate(bytes, inflated));
  if (!Array.isArray(value) || value.length < 3 || value[0] !== kind) throw new ShareError('not-ours');
  const version = value[1];
  if (!Number.isSafeInteger(version) || version < 1) throw new ShareError('damaged', 'version');
  if (version > newest) throw new ShareError('newer');
  return { version, payload: value[2] };
}

/**
 * Inflates piece by piece and stops as soon as the limit is passed: a decompression bomb costs
 * no more than an honest file.
 * @param {Uint8Array} bytes
 * @param {number} limit
 */
function inflate(bytes, limit) {
  /** @type {Uint8Array[]} */
  const chunks = [];
  let size = 0;
  const inflater = new Inflate({ chunkSize: 16 * 1024 });
  inflater.onData = (/** @type {Uint8Array} */ chunk) => {
    size += chunk.length;
    if (size > limit) throw new ShareError('too-large', 'inflated');
    chunks.push(chunk.slice());
  };
  let ok = false;
  try {
    ok = inflater.push(bytes, true);
  } catch (error) {
    throw error instanceof ShareError ? error : new ShareError('damaged', String(error));
  }
  if (!ok || inflater.err || !inflater.ended) throw new ShareError('damaged', inflater.msg || 'gzip');
  const out = new Uint8Array(size);
  let at = 0;
  for (const chunk of chunks) {
    out.set(chunk, at);
    at += chunk.length;
  }
  return out;
}

/** @param {Uint8Array} bytes */
function decodeCbor(bytes) {
  const options = { allowIndefinite: false, allowBigInt: false, rejectDuplicateMapKeys: true };
  try {
    return decode(bytes, { ...options, tokenizer: new Counted(bytes, options) });
  } catch (error) {
    throw error instanceof ShareError ? error : new ShareError('damaged', String(error));
  }
}

/** Refuses more values than any payload of this page has. */
class Counted extends Tokenizer {
  count = 0;

  next() {
    this.count += 1;
    if (this.count > MAX_VALUES) throw new ShareError('too-large', 'values');
    return super.next();
  }
}

/**
 * @param {string} mark what stands before the payload in the fragment
 * @param {Uint8Array} bytes
 */
export function toFragment(mark, bytes) {
  return `${mark}.${base64urlnopad.encode(bytes)}`;
}

/**
 * @param {string} mark
 * @param {string} fragment with or without the leading '#'
 * @returns {Uint8Array}
 */
export function fromFragment(mark, fragment) {
  const text = fragment.startsWith('#') ? fragment.slice(1) : fragment;
  if (text.length > MAX_FRAGMENT) throw new ShareError('too-large');
  if (!text.startsWith(`${mark}.`)) throw new ShareError('not-ours');
  try {
    return base64urlnopad.decode(text.slice(mark.length + 1));
  } catch (error) {
    throw new ShareError('damaged', String(error));
  }
}
