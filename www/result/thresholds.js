// @ts-check
/** Fault lines by check, from the package's thresholds. */

/**
 * @param {any} defaults the package's `defaultThresholds`, a function or an object
 * @returns {Record<string, { low?: number, high?: number }>}
 */
export function faultLines(defaults) {
  const all = typeof defaults === 'function' ? defaults() : defaults;
  return Object.fromEntries(Object.entries(all ?? {}).filter(([, v]) => typeof v === 'object' && v !== null));
}
