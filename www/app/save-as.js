// @ts-check
/** Hands the reader a file. */
import { el } from './dom.js';

/** @param {string} name @param {BlobPart | Uint8Array} content @param {string} [type] */
export function saveAs(name, content, type = 'application/json') {
  const url = URL.createObjectURL(new Blob([/** @type {BlobPart} */ (content)], { type }));
  el('a', { href: url, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
