// @ts-check
/** The camera, hands-free: stand still and it starts, walk away and it ends. */
import { announce } from '../app/dom.js';
import { askBefore } from '../app/before.js';
import { checkOptions } from '../asked/asked.js';
import { core, setupFrom } from '../app/core.js';
import { recall, remember } from '../app/memory.js';
import { show } from '../app/screens.js';
import { Trouble, showTrouble } from '../app/trouble.js';
import { Overlay } from '../figure/overlay.js';
import { Estimator } from '../input/estimator.js';
import { feetCrops } from '../input/feet-crop.js';
import { keepAwake } from '../live/awake.js';
import { closeCamera, facesUser, openCamera } from '../live/camera-stream.js';
import { listenForEnd } from '../live/endings.js';
import { FrameLoop } from '../live/frame-loop.js';
import { meanLuma } from '../live/light.js';
import { LiveSet } from '../live/live-set.js';
import { buildLive } from '../live/live-screen.js';
import { frameLines, sightLines, tiltLines } from '../live/setup-guide.js';
import { faultWord, speak, tone, wakeSound } from '../live/sounds.js';
import { TiltSensor, allowTilt } from '../live/tilt.js';
import { finish, present } from './finish.js';

/** How often what can be seen from here is judged anew during set-up. */
const LOOK_MS = 3000;

export async function runCamera() {
  wakeSound();
  const before = await askBefore('Open the camera', { withEstimator: true });
  if (!before) return;
  wakeSound();
  await allowTilt();
  const choice = { facing: recall('facing', 'environment'), size: recall('size', 'usual') };
  /** @type {MediaStream} */
  let stream = await openCamera(/** @type {any} */ (choice.facing), /** @type {any} */ (choice.size));
  /** @type {Estimator | null} */
  let estimator = null;
  const sleep = keepAwake();
  const stop = new AbortController();
  try {
    for (;;) {
      const outcome = await liveSet(stream, before, choice, stop, async () => (estimator ??= await loadEstimator(stop.signal)));
      if (outcome !== 'again') return;
      closeCamera(stream);
      stream = await openCamera(/** @type {any} */ (choice.facing), /** @type {any} */ (choice.size));
    }
  } catch (error) {
    if (stop.signal.aborted) return;
    show('start');
    throw error;
  } finally {
    sleep();
    closeCamera(stream);
    /** @type {Estimator | null} */ (estimator)?.close();
  }
}

/** @param {AbortSignal} signal */
function loadEstimator(signal) {
  return Estimator.load({ signal, progress: (share) => loading?.(share) });
}
/** @type {((share: number) => void) | null} */
let loading = null;

/**
 * @param {MediaStream} stream
 * @param {import('../app/types.js').Before} before
 * @param {{ facing: string, size: string }} choice changed by the screen
 * @param {AbortController} stop
 * @param {() => Promise<Estimator>} estimatorReady
 * @returns {Promise<'again' | 'done'>}
 */
async function liveSet(stream, before, choice, stop, estimatorReady) {
  /** @type {(end: { why: string, keep: boolean, again?: boolean }) => void} */
  let end = () => {};
  const ended = new Promise((/** @type {(v: { why: string, keep: boolean, again?: boolean }) => void} */ resolve) => { end = resolve; });
  /** @type {LiveSet | null} */
  let ready = null;
  const screen = buildLive({
    ...choice,
    onCamera: (facing, size) => {
      Object.assign(choice, { facing, size });
      remember('facing', facing);
      remember('size', size);
      end({ why: '', keep: false, again: true });
    },
    onEnd: () => end({ why: '', keep: true }),
    onStart: () => { if (ready && !ready.counting) { ready.start(); begin(); } },
  });
  screen.counting(false);
  show('live', { source: 'the camera', onLeave: () => end({ why: '', keep: Boolean(ready?.counting) }) });
  const { video } = screen;
  video.srcObject = stream;
  screen.mirror(facesUser(stream));
  await video.play();
  loading = (share) => screen.say('Loading the pose estimator (about 16 MB, once)…', share);
  const estimator = await Promise.race([estimatorReady(), ended.then(() => null)]);
  loading = null;
  if (!estimator) return outcome(await ended);
  const package_ = await core();
  const [width, height] = [video.videoWidth, video.videoHeight];
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [width, height];
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d', { willReadFrequently: true }));
  const overlay = new Overlay(screen.overlay, width, height);
  const tilt = new TiltSensor(facesUser(stream));
  const set = new LiveSet(package_, () => {
    const now = tilt.now();
    return { estimator: estimator.name, ...setupFrom(before), hurts: before.hurts, ...checkOptions(), ...(now ? { camera: now } : {}) };
  }, width, height, () => end({ why: '', keep: true }));
  ready = set;
  let counted = 0;
  let reps = 0;
  let luma = 128;
  let looked = -Infinity;
  /** @type {Record<string, any> | null} */
  let sight = null;
  const begin = () => {
    if (reps) return;
    screen.counting(true);
    tone(880, 0.35);
    speak('go');
    announce('Counting.');
  };

  const loop = new FrameLoop(video, async (t_ms) => {
    const t0 = performance.now();
    pen.drawImage(video, 0, 0);
    const points = await estimator.estimate(canvas, width, height, t_ms);
    const t1 = performance.now();
    if (loop.stopped) return { estimator_ms: t1 - t0, core_ms: 0 };
    if (loop.pace.taken % 15 === 0) luma = meanLuma(pen);
    const { lines, ready: feet } = frameLines(points, width, height, luma);
    const { live, countIn, started } = set.push({ t_ms, points, crops: points ? feetCrops(pen, points) : undefined }, feet);
    const t2 = performance.now();
    overlay.draw(canvas, points);
    if (started) begin();
    if (!set.counting) {
      const beat = Math.floor(countIn * 3);
      if (beat > counted) tone(440);
      counted = beat;
      if (live.standing_known && t_ms - looked > LOOK_MS) {
        looked = t_ms;
        sight = set.sight();
      }
      screen.guide([...lines, ...tiltLines(tilt.now()), ...(live.standing_known ? sightLines(sight) : [])]);
      screen.say(countIn > 0 ? 'Stay still…' : 'Stand still, facing as you will squat, and it starts.');
    } else {
      screen.during(live.reps, live.phase);
      if (live.reps > reps) {
        reps = live.reps;
        tone(660, 0.12);
        speak([String(reps), live.repDone && faultWord(live.repDone)].filter(Boolean).join(', '));
      }
    }
    if (loop.pace.taken % 10 === 0) screen.details(loop.pace, width, height);
    return { estimator_ms: t1 - t0, core_ms: t2 - t1 };
  }, (error) => end({ why: `The set was ended because the pose estimator failed (${error instanceof Error ? error.message : error}): what was seen until then is below.`, keep: true }));

  const off = listenForEnd(stream, set, end);
  const how = await ended;
  off();
  tilt.stop();
  loop.stop();
  try {
    if (how.again) return 'again';
    if (!how.keep || !set.counting) {
      if (how.why) throw new Trouble(how.why.replace(': what was seen until then is below', ': open the camera again'));
      if (how.keep) show('start');
      return 'done';
    }
    tone(330, 0.4);
    await present(await finish(set.session, { source: 'the camera', before }));
    if (how.why) showTrouble(new Trouble(how.why));
    return 'done';
  } finally {
    set.free();
  }
}

/** @param {{ again?: boolean }} how */
function outcome(how) {
  if (how.again) return 'again';
  show('start');
  return 'done';
}
