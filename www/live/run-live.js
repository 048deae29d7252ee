// @ts-check
/** One set before an open camera, from the set-up view to its end. */
import { announce } from '../app/dom.js';
import { setupFrom } from '../app/core.js';
import { recall, remember } from '../app/memory.js';
import { RunningSet } from '../app/running-set.js';
import { show } from '../app/screens.js';
import { askedWords } from '../asked/asked-view.js';
import { checkOptions } from '../asked/asked.js';
import { UnderWay } from '../records/under-way.js';
import { faultLines } from '../result/thresholds.js';
import { Overlay } from '../figure/overlay.js';
import { LAYOUT } from '../input/estimator.js';
import { FeetCrops } from '../input/feet-crop.js';
import { facesUser } from './camera-stream.js';
import { listenForEnd } from './endings.js';
import { FilmMaker } from './film-maker.js';
import { FrameLoop } from './frame-loop.js';
import { meanLuma } from './light.js';
import { BEATS, buildLive } from './live-screen.js';
import { LiveSet } from './live-set.js';
import { followLines, frameLines, headline, sightLines, tiltLines } from './setup-guide.js';
import { faultWord, speak, tone } from './sounds.js';
import { TiltSensor } from './tilt.js';

/** Frames between two looks at the light, and between two updates of the details. */
const LIGHT_EVERY = 15;
const DETAILS_EVERY = 10;

/** @typedef {{ why: string, keep: boolean, again?: boolean, left?: boolean, marks?: boolean }} End */
/**
 * `done`: a set to be measured and freed, `why` says what cut it short; `nothing`: no set was begun; `left`: neither, and
 * another screen is shown already; `again`: the camera was changed; `marks`: feet and shins alone are to be filmed.
 * @typedef {{ what: 'done', set: RunningSet, written: UnderWay | null, film?: import('../app/types.js').Film, why: string } | { what: 'nothing', why: string } | { what: 'left' | 'again' | 'marks' }} Outcome
 */

/**
 * @param {MediaStream} stream
 * @param {import('../app/types.js').Before} before
 * @param {{ facing: string, size: string }} choice changed by the screen
 * @param {{ load: (progress: (share: number, said: string) => void) => Promise<import('../input/estimator.js').Estimator> }} loader
 * @returns {Promise<Outcome>}
 */
export async function runLive(stream, before, choice, loader) {
  /** @type {(end: End) => void} */
  let end = () => {};
  const ended = new Promise((/** @type {(v: End) => void} */ resolve) => {
    end = resolve;
  });
  /** @type {LiveSet | null} */
  let set = null;
  const screen = buildLive({
    ...choice,
    onCamera: (facing, size) => {
      Object.assign(choice, { facing, size });
      remember('facing', facing);
      remember('size', size);
      end({ why: '', keep: false, again: true });
    },
    onEnd: () => end({ why: '', keep: true }),
    onStart: () => set?.startNow(),
    onMarks: () => end({ why: '', keep: false, marks: true }),
    asked: askedWords(),
  });
  screen.counting(false);
  show('live', { source: 'the camera', passing: true, onLeave: () => end({ why: '', keep: Boolean(set?.counting), left: true }) });
  const { video } = screen;
  video.srcObject = stream;
  screen.mirror(facesUser(stream));
  await video.play();
  const estimator = await Promise.race([loader.load((share, said) => screen.say(`Loading the pose estimator, once: ${said}`, share)), ended.then(() => null)]);
  if (!estimator) return without(await ended);
  const tilt = new TiltSensor(facesUser(stream));
  const [width, height] = [video.videoWidth, video.videoHeight];
  const open = () => {
    const camera = tilt.now();
    return RunningSet.open({
      layout: LAYOUT,
      image: { width, height },
      estimator: estimator.name,
      ...setupFrom(before),
      hurts: before.hurts,
      ...checkOptions(),
      ...(camera ? { camera } : {}),
    });
  };
  const running = new LiveSet(
    open,
    () => end({ why: '', keep: true }),
    ({ setup, frames: soFar }) => new UnderWay({ setup, name: before.name, hurts: before.hurts, made: new Date().toISOString() }, soFar),
  );
  set = running;
  const work = frames({ faults: await faultLines(checkOptions().thresholds), screen, estimator, set: running, tilt, width, height }, (error) =>
    end({ why: failure(error), keep: true }),
  );
  const { loop, film } = work;
  const off = listenForEnd(stream, running, end);
  const how = await ended;
  off();
  tilt.stop();
  loop.stop();
  if (how.again || !how.keep || !running.counting || !running.set) {
    running.free();
    running.written?.drop().catch(() => {});
    film()?.cancel();
    return without(how);
  }
  return {
    what: 'done',
    set: running.set,
    written: running.written,
    film: await finished(film(), running.set),
    why: how.why && `${how.why}: what was seen until then is below.`,
  };
}

/** @param {FilmMaker | null} film @param {RunningSet} set */
async function finished(film, set) {
  const made = await film?.finish();
  return made && { ...made, feet: set.feet };
}

/** @param {End} how @returns {Outcome} */
function without(how) {
  if (how.again) return { what: 'again' };
  if (how.left) return { what: 'left' };
  if (how.marks) return { what: 'marks' };
  return { what: 'nothing', why: how.why && `${how.why}: open the camera again.` };
}

/** @param {unknown} error */
function failure(error) {
  const said = error instanceof Error ? error.message : String(error);
  const measuring = /** @type {any} */ (error)?.name === 'UnderfootError';
  return `The set was ended because the ${measuring ? 'measuring' : 'pose estimator'} failed (${said})`;
}

/**
 * @typedef {object} Parts
 * @property {ReturnType<typeof buildLive>} screen
 * @property {import('../input/estimator.js').Estimator} estimator
 * @property {LiveSet} set
 * @property {Awaited<ReturnType<typeof faultLines>>} faults
 * @property {TiltSensor} tilt
 * @property {number} width
 * @property {number} height
 */

/** What is done with each frame that is taken. @param {Parts} parts @param {(error: unknown) => void} failed */
function frames({ faults, screen, estimator, set, tilt, width, height }, failed) {
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [width, height];
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d', { willReadFrequently: true }));
  const crops = new FeetCrops();
  const overlay = new Overlay(screen.overlay, width, height);
  let beats = 0;
  let reps = 0;
  let luma = 128;
  /** @type {FilmMaker | null} */
  let film = null;
  /** @param {number} countIn */
  const beat = (countIn) => {
    const now = Math.floor(countIn * BEATS);
    if (now > beats) tone(440);
    beats = now;
    screen.beat(countIn);
  };
  const loop = new FrameLoop(
    screen.video,
    async (t_ms) => {
      const t0 = performance.now();
      pen.drawImage(screen.video, 0, 0);
      const points = await estimator.estimate(canvas, width, height, t_ms);
      const t1 = performance.now();
      if (loop.stopped) return { estimator_ms: t1 - t0, core_ms: 0 };
      if (loop.pace.taken % LIGHT_EVERY === 0) luma = meanLuma(pen);
      const { lines, ready } = frameLines(points, width, height, luma);
      if (set.counting) film?.add(canvas, t_ms);
      const { live, countIn, started } = await set.push({ t_ms, points, crops: crops.cut(pen, points) }, ready);
      const t2 = performance.now();
      const feet = set.set?.feet.at(-1);
      overlay.draw(canvas, points, points ? feet : undefined);
      if (loop.stopped) return { estimator_ms: t1 - t0, core_ms: t2 - t1 };
      if (started) {
        screen.counting(true);
        tone(880, 0.35);
        speak('go');
        announce('Counting.');
        if (recall('film', false))
          FilmMaker.start(width, height).then(
            (maker) => {
              film = maker;
            },
            () => {},
          );
      }
      if (set.counting) {
        screen.during(live.reps, live.phase);
        if (live.reps > reps) {
          tone(660, 0.12);
          speak([String(live.reps), live.rep_done && faultWord(live.rep_done)].filter(Boolean).join(', '));
        }
        reps = live.reps;
      } else {
        beat(countIn);
        screen.guide(
          [...lines, ...tiltLines(tilt.now()), ...(points && live.standing_known ? followLines(feet) : [])],
          points ? sightLines(live.can_see, faults) : [],
        );
        screen.say(headline(Boolean(points), ready, countIn));
      }
      if (loop.pace.taken % DETAILS_EVERY === 0) screen.details(loop.pace, width, height);
      return { estimator_ms: t1 - t0, core_ms: t2 - t1 };
    },
    failed,
  );
  return { loop, film: () => film };
}
