// @ts-check
/** The bundled pose estimator (BlazePose, 33 points). Its script is a closure for the global scope, so it is loaded as a classic script. */
import { Trouble } from '../app/trouble.js';
import { recall } from '../app/memory.js';

const FOLDER = 'vendor/pose/';
/** What the estimator will ask for; fetched first so that the wait has a measure. */
const PARTS = ['pose.js', 'pose_solution_packed_assets_loader.js', 'pose_solution_simd_wasm_bin.js', 'pose_web.binarypb', 'pose_solution_packed_assets.data', 'pose_solution_simd_wasm_bin.wasm'];
const MODELS = /** @type {const} */ (['lite', 'full']);
export const POINTS = 33;
export const LAYOUT = 'blazepose-33';

/** @typedef {(share: number) => void} Progress from 0 to 1 */

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
  const responses = await Promise.all(files.map(async (file) => {
    const response = await fetch(FOLDER + file, { signal });
    if (!response.ok) throw new Error(`${file}: ${response.status}`);
    return response;
  }));
  const total = responses.reduce((sum, r) => sum + Number(r.headers.get('content-length') ?? 0), 0);
  let got = 0;
  await Promise.all(responses.map(async (response) => {
    const reader = response.body?.getReader();
    for (let part = await reader?.read(); part && !part.done; part = await reader?.read()) {
      got += part.value.byteLength;
      if (total) progress(Math.min(1, got / total));
    }
  }));
}

/** @returns {Promise<void>} */
function loadScript() {
  if ('Pose' in globalThis) return Promise.resolve();
  return new Promise((resolve, reject) => {
    const script = document.createElement('script');
    script.src = `${FOLDER}pose.js`;
    script.addEventListener('load', () => resolve());
    script.addEventListener('error', () => { script.remove(); reject(new Error('pose.js did not load')); });
    document.head.append(script);
  });
}

export class Estimator {
  /** @param {any} pose */
  constructor(pose) {
    this.pose = pose;
    /** @type {any} */
    this.found = null;
    this.last = -1;
    pose.onResults((/** @type {any} */ results) => { this.found = results.poseLandmarks ?? null; });
  }

  /**
   * @param {{ progress?: Progress, signal?: AbortSignal }} [options]
   * @returns {Promise<Estimator>}
   */
  static async load({ progress = () => {}, signal = new AbortController().signal } = {}) {
    const { model, cpu } = estimatorChoice();
    try {
      await fetchAll(progress, model, signal);
      await loadScript();
      const { Pose } = /** @type {any} */ (globalThis);
      const pose = new Pose({ locateFile: (/** @type {string} */ file) => FOLDER + file });
      // Smoothing is the core's work: it needs each frame as it was seen.
      pose.setOptions({ modelComplexity: MODELS.indexOf(model), smoothLandmarks: false, enableSegmentation: false, selfieMode: false, useCpuInference: cpu });
      await pose.initialize();
      return new Estimator(pose);
    } catch (cause) {
      if (signal.aborted) throw cause;
      throw new Trouble('The pose estimator could not be loaded: check the connection, load the page again, or choose “lite” in the settings before the set.', { cause });
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
    this.found = null;
    this.last = Math.max(this.last + 1, Math.round(t_ms));
    await this.pose.send({ image: picture }, this.last);
    const found = this.found;
    if (!found || found.length !== POINTS) return null;
    const points = new Float32Array(POINTS * 3);
    for (let i = 0; i < POINTS; i += 1) {
      points[3 * i] = found[i].x * width;
      points[3 * i + 1] = found[i].y * height;
      points[3 * i + 2] = Math.min(1, Math.max(0, found[i].visibility ?? 0));
    }
    return points;
  }

  close() {
    this.pose.close().catch(() => {});
  }
}
