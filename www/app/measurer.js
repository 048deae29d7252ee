// @ts-check
/** Measuring off the page's thread, in the package's worker, so that what is on screen never waits for it. */
import { UnderfootWorker } from '../pkg/worker.js';
import { core } from './core.js';

/** @typedef {import('../pkg/index.js').SessionSetup} SessionSetup */
/** @typedef {import('../pkg/index.js').Session | import('../pkg/worker.js').WorkerSession} AnySession */

/** After these the worker is of no more use; a new one is started when it is next needed. */
const GONE = ['load-failed', 'freed', 'internal'];

/** @type {UnderfootWorker | null} */
let worker = null;

/**
 * @template T
 * @param {(worker: UnderfootWorker) => Promise<T>} there
 * @param {(page: Awaited<ReturnType<typeof core>>) => T} here where no worker can be had, the page's thread does it
 * @returns {Promise<T>}
 */
async function off(there, here) {
  const used = (worker ??= new UnderfootWorker());
  try {
    return await there(used);
  } catch (error) {
    const { code } = /** @type {{ code?: string }} */ (error);
    if (!code || !GONE.includes(code)) throw error;
    used.terminate();
    if (worker === used) worker = null;
    return here(await core());
  }
}

/**
 * @param {any} recording
 * @param {import('../pkg/index.js').Options & { series?: boolean }} [options]
 * @returns {Promise<import('./types.js').Report>}
 */
export function analyze(recording, options = {}) {
  return off(
    (there) => there.analyze(recording, options),
    (page) => page.analyze(recording, options),
  );
}

/** A session whose calls are awaited, wherever it runs. @param {SessionSetup} setup @returns {Promise<AnySession>} */
export function openSession(setup) {
  return off(
    /** @returns {Promise<AnySession>} */ (there) => there.open(setup),
    (page) => new page.Session(setup),
  );
}
