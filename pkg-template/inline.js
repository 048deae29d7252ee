// @ts-check
/** The same package with the module inside: for hosts that cannot serve a second file. */
import text from './wasm/underfoot_bg.base64.js';
import { init as initFrom } from './module.js';

export * from './index.js';

/** @param {any} [source] */
export function init(source) {
  return initFrom(source ?? bytes());
}

function bytes() {
  const binary = atob(text);
  return Uint8Array.from(binary, (c) => c.charCodeAt(0));
}
