// @ts-check
/** Whether a check's limits can be used: asked of the core before anybody films, never guessed here. */
import { core } from '../app/core.js';
import { CHECKS } from '../result/words.js';

/** Any set-up does: only the limits are looked at. */
const SETUP = { layout: /** @type {const} */ ('coco-17'), image: { width: 1280, height: 720 } };
const BOUNDS = /** @type {Record<string, string>} */ ({ low: ', lower limit', high: ', upper limit' });

/**
 * @param {import('../share/check-link.js').Check['thresholds']} thresholds
 * @returns {Promise<string>} why they can't be used, as a sentence; '' when they can
 */
export async function linesTrouble(thresholds) {
  if (!Object.keys(thresholds).length) return '';
  const { Session } = await core();
  try {
    new Session({ ...SETUP, thresholds }).free();
    return '';
  } catch (error) {
    const { code, message } = /** @type {{ code?: string, message: string }} */ (error);
    if (code !== 'bad-option') throw error;
    const [, check, bound, reason] = /^thresholds\.(\w+)(?:\.(\w+))?: (.*)$/s.exec(message) ?? [];
    const words = CHECKS.find((c) => c.key === check);
    return words ? `${words.label}${BOUNDS[bound] ?? ''} (${words.unit}): ${reason}.` : `${message}.`;
  }
}
