// Loading the WebAssembly module, once, from whatever the host has.
import initGlue, { initSync as initGlueSync } from '../wasm/underfoot.js';
import * as glue from '../wasm/underfoot.js';
import { UnderfootError } from './error.js';
import { version } from './version.js';

let loading = null;
let ready = false;
/** The module's memory: numbers go in and out there, because handing a list over costs as much as a third of a frame. */
let memory;

/** `length` numbers of the module's memory from `address` on. The list is empty as soon as the memory has grown: then take it anew. */
export const numbersAt = (address, length) => new Float64Array(memory.buffer, address, length);

/** The module's functions; throws a sentence when `init` was not awaited. */
export function raw() {
  if (ready) return glue;
  throw new UnderfootError(
    'not-initialised',
    'the module is not loaded: call `await init()` (or `initSync`) once before anything else',
  );
}

/** Loads the module from `source` unless it is loaded or being loaded. A failed load can be tried again. */
export function start(source) {
  if (ready) return Promise.resolve();
  loading ??= load(source)
    .then(finished)
    .catch((error) => {
      loading = null;
      throw error;
    });
  return loading;
}

/** See index.d.ts. */
export function initSync(input) {
  if (ready) return;
  const module = input?.module ?? input;
  if (!isBytes(module) && !isModule(module)) {
    throw new UnderfootError('bad-input', 'initSync takes the bytes of underfoot_bg.wasm or a WebAssembly.Module');
  }
  try {
    finished(initGlueSync({ module }));
  } catch (error) {
    throw notLoaded(error);
  }
}

/** A cached module of another version would read other fields than these scripts write. */
function finished(exports) {
  const own = glue.version();
  if (own !== version) throw notLoaded(`it is version ${own}, the scripts are version ${version}`);
  ({ memory } = exports);
  ready = true;
}

async function load(source) {
  const from = await source;
  const module = from?.module_or_path ?? from?.module ?? from;
  const usable =
    typeof module === 'string' ||
    isBytes(module) ||
    isModule(module) ||
    is('URL', module) ||
    is('Request', module) ||
    is('Response', module);
  if (!usable) {
    throw new UnderfootError(
      'bad-input',
      'init takes nothing, a URL, a Response, the bytes of underfoot_bg.wasm or a WebAssembly.Module',
    );
  }
  if (is('Response', module) && !module.ok) throw notLoaded(`${module.url} answered with status ${module.status}`);
  try {
    // One object: a bare value makes the glue warn in the host's console.
    return await initGlue({ module_or_path: fromDisk(module) ?? module });
  } catch (error) {
    throw notLoaded(error);
  }
}

/** In Node, where fetch knows no file: URLs, the file's bytes. */
function fromDisk(module) {
  if (!is('URL', module) || module.protocol !== 'file:') return null;
  return globalThis.process?.getBuiltinModule?.('node:fs')?.readFileSync(module) ?? null;
}

function notLoaded(cause) {
  const reason = cause?.message ?? String(cause);
  const policy = /unsafe-eval|Content Security Policy/i.test(reason)
    ? " The page's content security policy must allow script-src 'wasm-unsafe-eval'."
    : '';
  return new UnderfootError('load-failed', `the module could not be loaded: ${reason}.${policy}`, { cause });
}

const is = (name, value) => typeof globalThis[name] === 'function' && value instanceof globalThis[name];
const isBytes = (value) => value instanceof ArrayBuffer || ArrayBuffer.isView(value);
const isModule = (value) => value instanceof WebAssembly.Module;
