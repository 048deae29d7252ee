// @ts-check
/** The bundled pose estimator (BlazePose, 33 points). Its script is a closure for the global scope, so it is loaded as a classic script. */
import { Trouble } from '../app/trouble.js';
import { recall } from '../app/memory.js';
import { keepEstimator } from '../app/offline.js';

const FOLDER = 'vendor/pose/';
/** What the estimator will ask for; fetched first so that the wait has a measure. */
const PARTS = [
  'pose.js',
  'pose_solution_packed_assets_loader.js',
  'pose_solution_simd_wasm_bin.js',
  'pose_web.binarypb',
  'pose_solution_packed_assets.data',
  'pose_solution_simd_wasm_bin.wasm',
];
const MODELS = /** @type {const} */ (['lite', 'full']);
export const POINTS = 33;
export const LAYOUT = 'blazepose-33';

/** @typedef {(share: number, said: string) => void} Progress from 0 to 1, and in megabytes */

/** Choices a reader may change; `auto` runs on the processor where the graphics are only emulated. */
export function estimatorChoice() {
  const model = recall('estimator-model', '') === 'lite' ? 'lite' : 'full';
  const on = recall('estimator-on', '');
  return { model: /** @type {(typeof MODELS)[number]} */ (model), cpu: on === 'processor' || (on !== 'graphics' && graphicsAreEmulated()) };
}

function graphicsAreEmulated() {
  const gl = document.createElement('canvas').getContext('webgl2');
  if (!gl) return true;
  const info = gl.getExtension('WEBGL_debug_renderer_info');
  const name = String(gl.getParameter(info ? info.UNMASKED_RENDERER_WEBGL : gl.RENDERER));
  gl.getExtension('WEBGL_lose_context')?.loseContext();
  return /swiftshader|llvmpipe|software|basic render/i.test(name);
}

/** @param {Progress} progress @param {string} model @param {AbortSignal} signal */
async function fetchAll(progress, model, signal) {
  const files = [...PARTS, `pose_landmark_${model}.tflite`];
  const responses = await Promise.all(
    files.map(async (file) => {
      const response = await fetch(FOLDER + file, { signal });
      if (!response.ok) throw new Error(`${file}: ${response.status}`);
      return response;
    }),
  );
  const total = responses.reduce((sum, r) => sum + Number(r.headers.get('content-length') ?? 0), 0);
  let got = 0;
  await Promise.all(
    responses.map(async (response) => {
      const reader = response.body?.getReader();
      for (let part = await reader?.read(); part && !part.done; part = await reader?.read()) {
        got += part.value.byteLength;
        if (total) progress(Math.min(1, got / total), `${(got / 1e6).toFixed(1)} of ${(total / 1e6).toFixed(1)} MB`);
      }
    }),
  );
}

/** Fetches what the estimator will ask for, so that it is here when filming begins; a failure is told then. */
export async function fetchEstimator() {
  await fetchAll(() => {}, recall('estimator-model', '') === 'lite' ? 'lite' : 'full', new AbortController().signal).catch(() => {});
}

/** @returns {Promise<void>} */
function loadScript() {
  if ('Pose' in globalThis) return Promise.resolve();
  return new Promise((resolve, reject) => {
    const script = document.createElement('script');
    script.src = `${FOLDER}pose.js`;
    script.addEventListener('load', () => resolve());
    script.addEventListener('error', () => {
      script.remove();
      reject(new Error('pose.js did not load'));
    });
    document.head.append(script);
  });
}

/** @typedef {(picture: HTMLCanvasElement | HTMLVideoElement, t: number) => Promise<ArrayLike<number> | null>} Ask x, y as shares of the picture and visibility of each point */

/** In a worker of its own, so that the page never waits for it. @param {string} model @param {boolean} cpu @returns {Promise<{ ask: Ask, close: () => void }>} */
async function inWorker(model, cpu) {
  const worker = new Worker(new URL('./estimator-worker.js', import.meta.url));
  /** @type {Set<(error: Error) => void>} */
  const waiting = new Set();
  worker.addEventListener('error', (event) => waiting.forEach((fail) => fail(new Error(event.message || 'its worker did not start'))));
  /** One question at a time. @param {any} question @param {Transferable[]} [transfer] @returns {Promise<any>} */
  const call = (question, transfer = []) =>
    new Promise((resolve, reject) => {
      const done = () => {
        waiting.delete(reject);
        worker.removeEventListener('message', heard);
      };
      const heard = (/** @type {MessageEvent} */ { data }) => {
        done();
        if (data.failed === undefined) resolve(data.answer);
        else reject(new Error(data.failed));
      };
      waiting.add(reject);
      worker.addEventListener('message', heard);
      worker.postMessage(question, transfer);
    });
  try {
    await call({ load: { complexity: MODELS.indexOf(/** @type {any} */ (model)), cpu } });
  } catch (error) {
    worker.terminate();
    throw error;
  }
  return {
    async ask(picture, t) {
      const bitmap = await createImageBitmap(picture);
      return call({ picture: bitmap, t }, [bitmap]);
    },
    close: () => worker.terminate(),
  };
}

/** On the page's own thread, where a worker can't have it. @param {string} model @param {boolean} cpu @returns {Promise<{ ask: Ask, close: () => void }>} */
async function onPage(model, cpu) {
  await loadScript();
  const { Pose } = /** @type {any} */ (globalThis);
  const pose = new Pose({ locateFile: (/** @type {string} */ file) => FOLDER + file });
  // Smoothing is the core's work: it needs each frame as it was seen.
  pose.setOptions({
    modelComplexity: MODELS.indexOf(/** @type {any} */ (model)),
    smoothLandmarks: false,
    enableSegmentation: false,
    selfieMode: false,
    useCpuInference: cpu,
  });
  /** @type {any} */
  let found = null;
  pose.onResults((/** @type {any} */ results) => {
    found = results.poseLandmarks ?? null;
  });
  await pose.initialize();
  return {
    async ask(picture, t) {
      found = null;
      await pose.send({ image: picture }, t);
      return found && found.flatMap((/** @type {any} */ p) => [p.x, p.y, p.visibility ?? 0]);
    },
    close: () => {
      pose.close().catch(() => {});
    },
  };
}

export class Estimator {
  /** @param {{ ask: Ask, close: () => void }} where @param {boolean} apart from the page's thread */
  constructor(where, apart) {
    this.where = where;
    this.apart = apart;
    this.last = -1;
  }

  /**
   * @param {{ progress?: Progress, signal?: AbortSignal }} [options]
   * @returns {Promise<Estimator>}
   */
  static async load({ progress = () => {}, signal = new AbortController().signal } = {}) {
    const { model, cpu } = estimatorChoice();
    try {
      await fetchAll(progress, model, signal);
      keepEstimator(model).catch(() => {});
      if ('OffscreenCanvas' in globalThis) {
        const where = await inWorker(model, cpu).catch((error) => {
          console.warn('the estimator runs on the page:', error);
        });
        if (where) return new Estimator(where, true);
      }
      return new Estimator(await onPage(model, cpu), false);
    } catch (cause) {
      if (signal.aborted) throw cause;
      throw new Trouble('The pose estimator could not be loaded: check the connection, load the page again, or choose “Lite” in the settings before the set.', {
        cause,
      });
    }
  }

  get name() {
    return `mediapipe-pose-${estimatorChoice().model}`;
  }

  /**
   * @param {HTMLCanvasElement | HTMLVideoElement} picture
   * @param {number} width of the recording's picture, px
   * @param {number} height
   * @param {number} t_ms
   * @returns {Promise<Float32Array | null>} x, y in px and visibility of 33 points; null when nobody was found
   */
  async estimate(picture, width, height, t_ms) {
    this.last = Math.max(this.last + 1, Math.round(t_ms));
    const found = await this.where.ask(picture, this.last);
    if (!found || found.length !== 3 * POINTS) return null;
    const scale = [width, height];
    return Float32Array.from(found, (v, i) => (i % 3 === 2 ? Math.min(1, Math.max(0, v)) : v * scale[i % 3]));
  }

  close() {
    this.where.close();
  }
}
