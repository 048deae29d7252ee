// @ts-check
/**
 * Keeps the page for use without a network. Its address carries the version (`sw.js?v=…`): a new version is a new
 * worker, which waits until the reader lets it take over, so that no set is lost to an update.
 */
/** The worker's own names would clash with the page's in one type check. @type {any} */
const worker = globalThis;
const VERSION = new URL(worker.location.href).searchParams.get('v') ?? '';
const PREFIX = 'underfoot-';
const CACHE = PREFIX + VERSION;
const LIST = 'offline.json';
/** Large, and not needed to open the page: fetched when the page is at rest, or when first used. */
const LATER = /^vendor\/pose\//;
/** What is asked for only where the usual files don't run. */
const SELDOM = /pose_solution_wasm_bin|base64\.js$/;

/** @typedef {{ version: string, files: Record<string, string> }} List entity tag by path */

/** @param {RequestInfo} request @returns {Promise<Response>} */
async function fromNetwork(request) {
  const response = await fetch(request, { cache: 'no-cache' });
  if (!response.ok) throw new Error(`${response.status} ${response.url}`);
  return response;
}

/** @returns {Promise<List>} */
async function list() {
  const got = await (await fromNetwork(LIST)).json();
  if (got.version !== VERSION) throw new Error('the page has changed again; the next visit takes the newest');
  return got;
}

/** A file that an earlier version kept with the same tag need not be fetched again. @param {string} path @param {string} tag */
async function kept(path, tag) {
  for (const name of await caches.keys()) {
    if (!name.startsWith(PREFIX)) continue;
    const response = await (await caches.open(name)).match(path);
    if (response && response.headers.get('etag') === tag) return response;
  }
  return null;
}

/** @param {(path: string) => boolean} wanted */
async function fill(wanted) {
  const [cache, { files }] = await Promise.all([caches.open(CACHE), list()]);
  const paths = Object.keys(files).filter((path) => wanted(path) && !SELDOM.test(path));
  await Promise.all(paths.map(async (path) => {
    if (await cache.match(path)) return;
    await cache.put(path, (await kept(path, files[path])) ?? (await fromNetwork(path)));
  }));
}

worker.addEventListener('install', (/** @type {any} */ event) => event.waitUntil(fill((path) => !LATER.test(path))));

worker.addEventListener('activate', (/** @type {any} */ event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith(PREFIX) && name !== CACHE) await caches.delete(name);
  await worker.clients.claim();
})()));

worker.addEventListener('message', (/** @type {any} */ event) => {
  if (event.data === 'take-over') worker.skipWaiting();
  if (event.data === 'fetch-the-rest') {
    event.waitUntil(fill((path) => LATER.test(path)).then(
      () => event.source?.postMessage('all-kept'),
      () => {}, // Without a network now, or out of storage: tried again on the next visit.
    ));
  }
});

/** @param {Request} request */
async function answer(request) {
  const cache = await caches.open(CACHE);
  const path = new URL(request.url).pathname;
  const wanted = request.mode === 'navigate' ? new URL('index.html', worker.registration.scope).href : path;
  return (await cache.match(wanted)) ?? fetch(request);
}

worker.addEventListener('fetch', (/** @type {any} */ event) => {
  const { request } = event;
  const url = new URL(request.url);
  const own = url.href.startsWith(worker.registration.scope);
  if (request.method !== 'GET' || !own || url.pathname.endsWith(`/${LIST}`) || url.pathname.endsWith('/sw.js')) return;
  event.respondWith(answer(request));
});
