// @ts-check
/** The bundled pose estimator off the page's thread. A classic worker, because the estimator loads its own parts with `importScripts`. */

/** The worker's own names would clash with the page's in one type check. @type {any} */
const scope = globalThis;
const FOLDER = new URL('../vendor/pose/', scope.location.href).href;

/** @type {any} */
let pose = null;
/** @type {any} */
let found = null;

/**
 * What the estimator asks of a document: canvases, and scripts put into the body. Its own way of running in a worker fetches its
 * models as scripts and fails, so it is told that this is a page.
 */
function standInForDocument() {
  scope.window = scope;
  scope.document = {
    createElement: (/** @type {string} */ tag) => (tag === 'canvas' ? new OffscreenCanvas(1, 1) : element()),
    addEventListener() {},
    getElementById: () => null,
    querySelector: () => null,
    body: {
      /** @param {ReturnType<typeof element>} script */
      appendChild(script) {
        try {
          scope.importScripts(script.asked.src);
          script.heard.load?.();
        } catch {
          script.heard.error?.();
        }
      },
    },
  };
}

function element() {
  /** @type {Record<string, string>} */
  const asked = {};
  /** @type {Record<string, () => void>} */
  const heard = {};
  return {
    asked,
    heard,
    setAttribute(/** @type {string} */ name, /** @type {string} */ value) {
      asked[name] = value;
    },
    addEventListener(/** @type {string} */ name, /** @type {() => void} */ act) {
      heard[name] = act;
    },
  };
}

/** @param {{ complexity: number, cpu: boolean }} options */
async function load({ complexity, cpu }) {
  standInForDocument();
  scope.importScripts(`${FOLDER}pose.js`);
  pose = new scope.Pose({ locateFile: (/** @type {string} */ file) => FOLDER + file });
  // Smoothing is the core's work: it needs each frame as it was seen.
  pose.setOptions({ modelComplexity: complexity, smoothLandmarks: false, enableSegmentation: false, selfieMode: false, useCpuInference: cpu });
  pose.onResults((/** @type {any} */ results) => {
    found = results.poseLandmarks ?? null;
  });
  await pose.initialize();
}

/** @param {{ picture: ImageBitmap, t: number }} frame @returns {Promise<Float32Array | null>} x, y as shares of the picture and visibility of each point */
async function estimate({ picture, t }) {
  found = null;
  await pose.send({ image: picture }, t);
  picture.close();
  return found && Float32Array.from(found.flatMap((/** @type {any} */ p) => [p.x, p.y, p.visibility ?? 0]));
}

scope.addEventListener('message', async (/** @type {MessageEvent} */ { data }) => {
  try {
    const answer = data.load ? await load(data.load) : await estimate(data);
    scope.postMessage({ answer }, answer ? [answer.buffer] : []);
  } catch (error) {
    scope.postMessage({ failed: error instanceof Error ? error.message : String(error) });
  }
});
