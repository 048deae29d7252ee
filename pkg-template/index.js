// @ts-check
/** Underfoot: reads a squatting lifter's feet from 2D keypoints. Nothing runs at import time. */
import { guarded } from './errors.js';
import { loaded } from './module.js';

export { UnderfootError } from './errors.js';
export { init, initSync } from './module.js';
export { Session } from './session.js';

/** Names of the keypoint layouts. */
export const layouts = /** @type {const} */ (['blazepose-33', 'halpe-26', 'body-25', 'coco-wholebody-133', 'coco-17']);

/**
 * @param {any} recording
 * @param {any} [options]
 */
export function analyze(recording, options) {
  const raw = loaded();
  return guarded(() => raw.rawAnalyze(recording, options ?? {}));
}

/** The package's version. */
export function version() {
  return loaded().rawVersion();
}
