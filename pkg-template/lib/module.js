// Loading the WebAssembly module, once, from whatever the host has.
import initGlue, { initSync as initGlueSync } from '../wasm/underfoot.js';
import * as glue from '../wasm/underfoot.js';
import { UnderfootError } from './error.js';
import { version } from './version.js';

let ready = false;
/** What the module gives: its functions as they are, among them what its parts take. */
let exported;
/** The module's memory: numbers go in and out there, because handing a list over costs as much as a third of a frame. */
let memory;
/** What is being loaded, by name. */
const loading = {};
/** The parts that are there. */
const there = new Set();
/** Where the entry keeps the module and its parts: functions by name, because a bundler must see each place written out. */
let places = {};

/** Told by the entry that was imported. */
export function kept(files) {
  places = files;
}

/** `length` numbers of the module's memory from `address` on. The list is empty as soon as the memory has grown: then take it anew. */
export const numbersAt = (address, length) => new Float64Array(memory.buffer, address, length);

/** The module's functions; throws a sentence when `init` was not awaited. */
export function raw() {
  if (ready) return glue;
  throw new UnderfootError('not-initialised', 'the module is not loaded: call `await init()` (or `initSync`) once before anything else');
}

/** The same, when what is called lies in a part of the module. */
export function rawWith(part) {
  const functions = raw();
  if (!has(part)) {
    throw new UnderfootError('not-initialised', `the module's part \`${part}\` is not loaded: await \`${INIT[part]}\` first`);
  }
  return functions;
}

const INIT = { report: 'init()', picture: 'initPicture()', compare: 'compare()' };

/** Whether a part is there, or can be at once. */
export const has = (part) => there.has(part) || fromDiskAtOnce(part);

/** Loads the module unless it is loaded or being loaded. A failed load can be tried again. */
export const start = (source) => (ready ? Promise.resolve() : once('module', () => load(sourceOf(source))));

/** Loads the module and a part of it. */
export function startWith(part, source) {
  if (there.has(part)) return start(source);
  return once(part, async () => {
    // Asked for at once, put in one after the other.
    const compiled = fetched((isNamed(source) ? source[part] : undefined) ?? places[part]?.());
    compiled.catch(() => {});
    await start(source);
    try {
      await WebAssembly.instantiate(await compiled, { m: exported });
    } catch (error) {
      throw error instanceof UnderfootError ? error : notLoaded(error);
    }
    there.add(part);
  });
}

/** Each is loaded once however often it is asked for. */
function once(name, work) {
  loading[name] ??= work().finally(() => delete loading[name]);
  return loading[name];
}

const isNamed = (source) => source?.constructor === Object;
const sourceOf = (source) => (isNamed(source) ? source.module : source) ?? places.module?.();

/** See index.d.ts. */
export function initSync(input) {
  const named = isNamed(input) ? input : { module: input };
  if (!ready) {
    const module = named.module ?? fromDisk(places.module?.());
    if (!isBytes(module) && !isModule(module)) {
      throw new UnderfootError('bad-input', 'initSync takes the bytes of underfoot_bg.wasm or a WebAssembly.Module; nothing only in Node');
    }
    try {
      finished(initGlueSync({ module }));
    } catch (error) {
      throw notLoaded(error);
    }
  }
  for (const part of Object.keys(INIT)) {
    if (named[part] && !there.has(part)) joined(part, named[part]);
  }
}

/** A cached module of another version would read other fields than these scripts write. */
function finished(exports) {
  const own = glue.version();
  if (own !== version) throw notLoaded(`it is version ${own}, the scripts are version ${version}`);
  exported = exports;
  ({ memory } = exports);
  ready = true;
}

/** Puts a part into the module at once: it takes the module's memory, and fills places of its table. */
function joined(part, source) {
  try {
    const module = isModule(source) ? source : new WebAssembly.Module(source);
    new WebAssembly.Instance(module, { m: exported });
  } catch (error) {
    throw notLoaded(error);
  }
  there.add(part);
}

/** Where bytes are at hand, or can be read at once, a part comes when it is needed. */
function fromDiskAtOnce(part) {
  const place = places[part]?.();
  const bytes = isBytes(place) ? place : fromDisk(place);
  if (bytes) joined(part, bytes);
  return Boolean(bytes);
}

async function load(source) {
  const from = await source;
  const module = from?.module_or_path ?? from;
  if (!isSource(module)) {
    throw new UnderfootError(
      'bad-input',
      'init takes nothing, a URL, a Response, the bytes of underfoot_bg.wasm or a WebAssembly.Module, or an object of these: { module, report, picture, compare }',
    );
  }
  // One object: a bare value makes the glue warn in the host's console.
  try {
    finished(await initGlue({ module_or_path: await fetched(module) }));
  } catch (error) {
    throw error instanceof UnderfootError ? error : notLoaded(error);
  }
}

const isSource = (value) => typeof value === 'string' || isBytes(value) || isModule(value) || ['URL', 'Request', 'Response'].some((name) => is(name, value));

/** A source as a compiled module. */
async function fetched(source) {
  const from = await source;
  try {
    if (isModule(from)) return from;
    if (isBytes(from)) return await WebAssembly.compile(from);
    const bytes = fromDisk(from);
    if (bytes) return await WebAssembly.compile(bytes);
    if (is('Response', from)) return await compiled(from);
    let answer = places.moved?.() ? await elsewhere(from) : null;
    answer ??= await fetch(from);
    if (!isModuleAnswer(answer)) answer = (await elsewhere(from)) ?? answer;
    return await compiled(answer);
  } catch (error) {
    throw error instanceof UnderfootError ? error : notLoaded(error);
  }
}

async function compiled(answer) {
  if (!answer.ok) throw notLoaded(`${answer.url} answered with status ${answer.status}`);
  if (isPage(answer))
    throw notLoaded(
      `${answer.url} answered with a page: the development server does not serve the package's files there; with Vite, add optimizeDeps: { exclude: ['underfoot'] }`,
    );
  // Some servers don't know the type, which the streaming way insists on.
  const type = answer.headers.get('Content-Type') ?? '';
  return type.startsWith('application/wasm') ? WebAssembly.compileStreaming(answer) : WebAssembly.compile(await answer.arrayBuffer());
}

const isPage = (answer) => (answer.headers.get('Content-Type') ?? '').startsWith('text/html');
const isModuleAnswer = (answer) => answer.ok && !isPage(answer);

/**
 * Development servers that bundle dependencies ahead put the scripts elsewhere (node_modules/.vite/deps) and leave the module where
 * it was: then it is asked for where npm put it.
 */
async function elsewhere(source) {
  for (const url of places.installed?.(String(source.url ?? source)) ?? []) {
    const answer = await fetch(url).catch(() => null);
    if (answer && isModuleAnswer(answer)) return answer;
  }
  return null;
}

/** In Node, where fetch knows no file: URLs, the file's bytes. */
function fromDisk(module) {
  if (!is('URL', module) || module.protocol !== 'file:') return null;
  return globalThis.process?.getBuiltinModule?.('node:fs')?.readFileSync(module) ?? null;
}

function notLoaded(cause) {
  const reason = cause?.message ?? String(cause);
  const policy = /unsafe-eval|Content Security Policy/i.test(reason) ? " The page's content security policy must allow script-src 'wasm-unsafe-eval'." : '';
  return new UnderfootError('load-failed', `the module could not be loaded: ${reason}.${policy}`, { cause });
}

const is = (name, value) => typeof globalThis[name] === 'function' && value instanceof globalThis[name];
const isBytes = (value) => value instanceof ArrayBuffer || ArrayBuffer.isView(value);
const isModule = (value) => value instanceof WebAssembly.Module;
