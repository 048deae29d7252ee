// The package's main entry. Importing it runs nothing: call `init()` first.
import { start } from './lib/core.js';

export { Session, analyze, compare, defaultThresholds, initSync, version } from './lib/core.js';
export { cueIds, filmIds, noteCodes } from './lib/ids.js';
export { estimators, joints, layouts } from './lib/layouts.js';
export { UnderfootError } from './lib/error.js';

/** Loads the module. See index.d.ts. */
export function init(source) {
  return start(source ?? new URL('./wasm/underfoot_bg.wasm', import.meta.url));
}
