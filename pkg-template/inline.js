// The same as index.js, with the module inside: for hosts that can serve no second file.
import { module, report, picture, compare } from './wasm/underfoot_base64.js';
import { kept, start, startWith } from './lib/core.js';

export { Session, analyze, compare, defaultThresholds, initPicture, initSync, version } from './lib/core.js';
export { cueIds, filmIds, noteCodes } from './lib/ids.js';
export { estimators, joints, layouts } from './lib/layouts.js';
export { UnderfootError } from './lib/error.js';

const bytes = (base64) => () => Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));

kept({ module: bytes(module), report: bytes(report), picture: bytes(picture), compare: bytes(compare) });

/** Loads the module that this file carries. See inline.d.ts. */
export const init = (source) => startWith('report', source);

/** Loads what frames need. See inline.d.ts. */
export const initLive = (source) => start(source);
