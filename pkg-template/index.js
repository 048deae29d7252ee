// The package's main entry. Importing it runs nothing: call `init()` first.
import { installed, moved } from './lib/installed.js';
import { kept, start, startWith } from './lib/core.js';

export { Session, analyze, compare, defaultThresholds, initPicture, initSync, version } from './lib/core.js';
export { cueIds, filmIds, noteCodes } from './lib/ids.js';
export { estimators, joints, layouts } from './lib/layouts.js';
export { UnderfootError } from './lib/error.js';

// Each place written out, so that bundlers see it.
kept({
  module: () => new URL('./wasm/underfoot_bg.wasm', import.meta.url),
  report: () => new URL('./wasm/underfoot_report.wasm', import.meta.url),
  picture: () => new URL('./wasm/underfoot_picture.wasm', import.meta.url),
  compare: () => new URL('./wasm/underfoot_compare.wasm', import.meta.url),
  moved: () => moved(import.meta.url),
  installed: (file) => installed(file, import.meta.url),
});

/** Loads what frames and reports need. See index.d.ts. */
export const init = (source) => startWith('report', source);

/** Loads what frames need. See index.d.ts. */
export const initLive = (source) => start(source);
