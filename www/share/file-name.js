// @ts-check

/**
 * A file's name by client and day, without what file systems refuse.
 * @param {string} name may be ''
 * @param {string} day `YYYY-MM-DD`
 */
export function fileName(name, day) {
  const plain = name
    .normalize('NFC')
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '');
  return `${[...plain].slice(0, 30).join('') || 'squat'}-${day}`;
}
