// The same as index.js, with the module inside: for hosts that can serve no second file.
import base64 from './wasm/underfoot_bg.base64.js';
import { start } from './lib/core.js';

export { Session, analyze, compare, defaultThresholds, initSync, version } from './lib/core.js';
export { cueIds, filmIds, noteCodes } from './lib/ids.js';
export { estimators, joints, layouts } from './lib/layouts.js';
export { UnderfootError } from './lib/error.js';

/** Loads the module that this file carries. See inline.d.ts. */
export function init(source) {
  return start(source ?? Uint8Array.from(atob(base64), (c) => c.charCodeAt(0)));
}
