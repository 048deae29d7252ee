// @ts-check
/** Fault lines by check, from the package's thresholds. */
import { core } from '../app/core.js';

/** @typedef {Record<string, { low?: number | null, high?: number | null }>} Lines */

/** @param {Lines} [changed] for this set @returns {Promise<Lines>} */
export async function faultLines(changed = {}) {
  const { defaultThresholds } = await core();
  const usual = /** @type {any} */ (defaultThresholds());
  return { ...usual, ...Object.fromEntries(Object.entries(changed).map(([check, lines]) => [check, { ...usual[check], ...lines }])) };
}
