// @ts-check
/** Fault lines by check, from the package's thresholds. */
import { core } from '../app/core.js';

/**
 * Without them the curves are drawn without lines, rather than not at all.
 * @returns {Promise<Record<string, { low?: number, high?: number }>>}
 */
export async function faultLines() {
  const { defaultThresholds } = await core();
  try {
    return /** @type {any} */ (defaultThresholds());
  } catch (error) {
    console.error(error);
    return {};
  }
}
