// @ts-check
/** The module behind the package: loaded once, on demand. */
import start, * as raw from './wasm/underfoot.js';
import { UnderfootError } from './errors.js';

let ready = false;

/** @returns {typeof raw} */
export function loaded() {
  if (!ready) throw new UnderfootError('not-initialised', 'call `await init()` (or `initSync`) first');
  return raw;
}

/**
 * @param {any} [source]
 * @returns {Promise<void>}
 */
export async function init(source) {
  if (ready) return;
  // Always one object: a bare value makes the generated glue warn in every console.
  await (source === undefined ? start() : start({ module_or_path: await source }));
  ready = true;
}

/** @param {any} module bytes or a WebAssembly.Module */
export function initSync(module) {
  if (ready) return;
  raw.initSync({ module });
  ready = true;
}
