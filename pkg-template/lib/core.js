// What the two entries share. The build makes one file of it and of what it leads to (xtask/src/glue.rs).
export { initSync, kept, start, startWith } from './module.js';
export { Session } from './session.js';
export { analyze, compare, defaultThresholds, initPicture } from './calls.js';
export { version } from './version.js';
