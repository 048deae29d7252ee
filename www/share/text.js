// @ts-check
/** Text from strangers: shown as text, never as markup, and cleaned before it is kept. */

/**
 * Control characters, line and paragraph separators, and the characters that override or
 * isolate the direction of text (Unicode Bidirectional Algorithm, UAX #9, section 2).
 */
const UNWANTED = /[\u0000-\u001f\u007f-\u009f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]/gu;

/**
 * Normalises, removes what could hide or reorder other text, and caps the length.
 * @param {unknown} value anything; what is not text becomes ''
 * @param {number} max most code points to keep
 * @returns {string}
 */
export function cleanText(value, max) {
  if (typeof value !== 'string') return '';
  // Cap before normalising too, so that a long text costs no more than a short one.
  const text = value
    .slice(0, 4 * max)
    .normalize('NFC')
    .toWellFormed()
    .replace(UNWANTED, ' ')
    .replace(/ {2,}/g, ' ')
    .trim();
  return [...text].slice(0, max).join('');
}

/**
 * The same for text of several lines, which stay lines.
 * @param {unknown} value
 * @param {number} max most code points to keep
 * @returns {string}
 */
export function cleanLines(value, max) {
  if (typeof value !== 'string') return '';
  const lines = value
    .slice(0, 4 * max)
    .split(/\r\n|[\n\r\u2028\u2029]/)
    .map((line) => cleanText(line, max));
  return [
    ...lines
      .join('\n')
      .replace(/\n{3,}/g, '\n\n')
      .trim(),
  ]
    .slice(0, max)
    .join('');
}
