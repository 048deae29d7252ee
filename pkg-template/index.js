// The package's main entry. Importing it runs nothing: call `init()` first.
import { start } from './lib/module.js';

export { initSync } from './lib/module.js';
export { Session } from './lib/session.js';
export { analyze, compare, defaultThresholds } from './lib/calls.js';
export { joints, layouts } from './lib/layouts.js';
export { version } from './lib/version.js';
export { UnderfootError } from './lib/error.js';

/** Loads the module. See index.d.ts. */
export function init(source) {
  return start(source ?? new URL('./wasm/underfoot_bg.wasm', import.meta.url));
}
