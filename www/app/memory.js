// @ts-check
/** Small choices remembered on this device. Private modes may refuse: then they last for the visit. */

/** What could not be written down; everything else is read anew each time, since another tab may have changed it. @type {Map<string, unknown>} */
const visit = new Map();

/**
 * @template {string | number | boolean | object | null} T
 * @param {string} key
 * @param {T} otherwise also says which type is expected
 * @returns {T extends string ? string : T extends number ? number : T extends boolean ? boolean : T}
 */
export function recall(key, otherwise) {
  if (visit.has(key)) return /** @type {any} */ (visit.get(key));
  try {
    const text = localStorage.getItem(`underfoot.${key}`);
    const value = text === null ? otherwise : JSON.parse(text);
    return /** @type {any} */ (typeof value === typeof otherwise || otherwise === null ? value : otherwise);
  } catch {
    return /** @type {any} */ (otherwise);
  }
}

/** @param {string} key @param {unknown} value */
export function remember(key, value) {
  try {
    localStorage.setItem(`underfoot.${key}`, JSON.stringify(value));
    visit.delete(key);
  } catch {
    visit.set(key, value);
  }
}
