// @ts-check
/** Fault lines by check, from the package's thresholds. */
import { core } from '../app/core.js';

/** @returns {Promise<Record<string, { low?: number | null, high?: number | null }>>} */
export async function faultLines() {
  const { defaultThresholds } = await core();
  return /** @type {any} */ (defaultThresholds());
}
