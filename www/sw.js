// @ts-check
/**
 * Keeps the page for use without a network. Its address carries the version (`sw.js?v=…`): a new version is a new
 * worker, which waits until the reader lets it take over, so that no set is lost to an update.
 */
/** The worker's own names would clash with the page's in one type check. @type {any} */
const worker = globalThis;
const VERSION = new URL(worker.location.href).searchParams.get('v') ?? '';
/** Two copies of the page below different paths of one host must leave each other's files alone. */
const PREFIX = `underfoot ${new URL(worker.registration.scope).pathname} `;
const CACHE = PREFIX + VERSION;
const LIST = 'offline.json';
/** Large, and not needed to open the page. */
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

/** Caches of earlier versions, this version's left out. */
async function earlier() {
  return (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== CACHE);
}

/**
 * A file that an earlier version kept need not be fetched again while it is the same: by the list that was kept with it, since
 * not every host gives tags.
 * @param {string} path @param {string} tag
 */
async function kept(path, tag) {
  for (const name of await earlier()) {
    const cache = await caches.open(name);
    const then = await (await cache.match(LIST))?.json().catch(() => null);
    if (then?.files?.[path] === tag) return (await cache.match(path)) ?? null;
  }
  return null;
}

/** @param {(path: string) => boolean} wanted @param {boolean} [fetching] false: only what an earlier version kept */
async function fill(wanted, fetching = true) {
  const [cache, all] = await Promise.all([caches.open(CACHE), list()]);
  if (!(await cache.match(LIST))) await cache.put(LIST, new Response(JSON.stringify(all), { headers: { 'content-type': 'application/json' } }));
  const paths = Object.keys(all.files).filter((path) => wanted(path) && !SELDOM.test(path));
  const done = await Promise.all(
    paths.map(async (path) => {
      if (await cache.match(path)) return true;
      const file = (await kept(path, all.files[path])) ?? (fetching ? await fromNetwork(path) : null);
      if (file) await cache.put(path, file);
      return file !== null;
    }),
  );
  return done.every(Boolean);
}

/** The estimator goes on working without a network: what a version before kept of it stays until this one has as much. */
async function tidy() {
  const cache = await caches.open(CACHE);
  const { files } = (await (await cache.match(LIST))?.json()) ?? { files: {} };
  for (const name of await earlier()) {
    const then = (await (await caches.open(name)).keys()).map(({ url }) => url.slice(worker.registration.scope.length));
    const here = await Promise.all(then.filter((path) => LATER.test(path) && path in files).map((path) => cache.match(path)));
    if (here.every(Boolean)) await caches.delete(name);
  }
}

worker.addEventListener('install', (/** @type {any} */ event) =>
  event.waitUntil(
    (async () => {
      await fill((path) => !LATER.test(path));
      await fill((path) => LATER.test(path), false);
    })(),
  ),
);

worker.addEventListener('activate', (/** @type {any} */ event) =>
  event.waitUntil(
    (async () => {
      await tidy();
      await worker.clients.claim();
    })(),
  ),
);

worker.addEventListener('message', (/** @type {any} */ event) => {
  if (event.data === 'take-over') worker.skipWaiting();
  // Large files only once somebody has used or asked for them, and of the two models the one that is used.
  const { keep } = event.data;
  if (keep) {
    event.waitUntil(
      fill((path) => LATER.test(path) && (!path.endsWith('.tflite') || path.endsWith(`_${keep}.tflite`)))
        .then(tidy)
        .then(
          () => event.source?.postMessage('all-kept'),
          () => event.source?.postMessage('not-kept'), // Without a network now, or out of storage: tried again on the next visit.
        ),
    );
  }
});

/** @param {Request} request */
async function answer(request) {
  const cache = await caches.open(CACHE);
  const path = new URL(request.url).pathname;
  const wanted = request.mode === 'navigate' ? new URL('index.html', worker.registration.scope).href : path;
  const here = await cache.match(wanted);
  if (here) return here;
  try {
    const response = await fetch(request);
    // What is large is kept when it is first used.
    if (response.ok && LATER.test(request.url.slice(worker.registration.scope.length)) && !SELDOM.test(path)) cache.put(path, response.clone()).catch(() => {});
    return response;
  } catch (offline) {
    for (const name of await earlier()) {
      const then = await (await caches.open(name)).match(wanted);
      if (then) return then;
    }
    throw offline;
  }
}

worker.addEventListener('fetch', (/** @type {any} */ event) => {
  const { request } = event;
  const url = new URL(request.url);
  const own = url.href.startsWith(worker.registration.scope);
  if (request.method !== 'GET' || !own || url.pathname.endsWith(`/${LIST}`) || url.pathname.endsWith('/sw.js')) return;
  event.respondWith(answer(request));
});
