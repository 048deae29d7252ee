// @ts-check
/** Turns a dropped or chosen file into JSON, or says in one sentence why it can't. */
import { Trouble } from '../app/trouble.js';

/** Ten minutes of 133 points at 60 frames a second stay below this. */
export const MAX_BYTES = 150e6;
const NAMED_VIDEO = /\.(mp4|m4v|mov|webm|mkv|avi|3gp|ogv)$/i;
const NAMED_DATA = /\.(json|gz|underfoot)$/i;
/** Bytes that tell what a file is. */
const HEAD = 16;

/** @param {File} file @returns {'video' | 'keypoints'} by its name alone */
export function kindOf(file) {
  return file.type.startsWith('video/') || NAMED_VIDEO.test(file.name) ? 'video' : 'keypoints';
}

/**
 * What a file is, by its name or else by how it begins; anything that can't be a set is said for what it is.
 * @param {File} file
 * @returns {Promise<'video' | 'keypoints' | 'sets'>}
 */
export async function whatIs(file) {
  if (kindOf(file) === 'video') return 'video';
  if (file.name.endsWith('.zip')) return 'sets';
  const head = new Uint8Array(await file.slice(0, HEAD).arrayBuffer());
  const text = String.fromCharCode(...head);
  // ISO/IEC 14496-12 boxes, EBML (RFC 8794), RIFF, and the signatures of JPEG, PNG, GIF and PDF.
  if (file.type.startsWith('image/') || /^(\xff\xd8\xff|\x89PNG|GIF8|BM)|^RIFF....WEBP|^....ftyp(heic|heix|mif1|avif)/s.test(text)) {
    throw new Trouble(`${file.name} is a photo: choose a video of the set.`);
  }
  if (/^....ftyp|^\x1a\x45\xdf\xa3|^RIFF....AVI/s.test(text)) return 'video';
  if (text.startsWith('PK')) return 'sets';
  if (NAMED_DATA.test(file.name) || !head.length || /^(\x1f\x8b|(\xef\xbb\xbf)?\s*[{[])/.test(text)) return 'keypoints';
  if (text.startsWith('%PDF')) throw new Trouble(`${file.name} is a PDF document: choose a video of the set.`);
  if (file.type.startsWith('text/') || !/[\x00-\x08\x0e-\x1f]/.test(text))
    throw new Trouble(`${file.name} is a text file: choose a video of the set, or pose data (JSON).`);
  throw new Trouble(`${file.name} is neither a video nor pose data: choose a video of the set.`);
}

/**
 * Text of a file that may be gzipped (RFC 1952 begins 1f 8b). Stops unpacking at the limit, so a
 * small file that unpacks to gigabytes is refused early.
 * @param {Blob} blob
 * @returns {Promise<string>}
 */
export async function textOf(blob) {
  if (blob.size === 0) throw new Trouble('This file is empty: choose the recording again.');
  if (blob.size > MAX_BYTES) throw tooLarge();
  const head = new Uint8Array(await blob.slice(0, 2).arrayBuffer());
  if (head[0] !== 0x1f || head[1] !== 0x8b) return blob.text();
  const reader = blob.stream().pipeThrough(new DecompressionStream('gzip')).getReader();
  /** @type {BlobPart[]} */
  const parts = [];
  let total = 0;
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) break;
      total += value.byteLength;
      if (total > MAX_BYTES) throw tooLarge();
      parts.push(value);
    }
  } catch (cause) {
    if (cause instanceof Trouble) throw cause;
    throw new Trouble('This compressed file is damaged or cut short: copy it again from where it came.', { cause });
  } finally {
    reader.cancel().catch(() => {});
  }
  return new Blob(parts).text();
}

function tooLarge() {
  return new Trouble(`This file is too large for pose data (over ${MAX_BYTES / 1e6} MB): cut it to one set and open that.`);
}

/**
 * A recording in the contract's form; the package checks the rest and names the field.
 * @param {Blob} blob
 * @returns {Promise<any>}
 */
export async function readKeypoints(blob) {
  const text = await textOf(blob);
  /** @type {unknown} */
  let value;
  try {
    value = JSON.parse(text);
  } catch (cause) {
    throw new Trouble('This is not pose data (it isn’t JSON): choose a recording, or open a video instead.', { cause });
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    throw new Trouble('This JSON file is not pose data: it needs “layout”, “image” and “frames”.');
  }
  const missing = ['layout', 'image', 'frames'].filter((key) => !(key in value));
  if (missing.length) throw new Trouble(`This JSON file is not pose data: it has no ${missing.map((key) => `“${key}”`).join(', ')}.`);
  return value;
}
