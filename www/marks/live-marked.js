// @ts-check
/** A close-up before the camera: a still picture is marked at the phone, and the set starts by itself when the lifter stands there again. */
import { $, announce, el } from '../app/dom.js';
import { setupFrom } from '../app/core.js';
import { recall, remember } from '../app/memory.js';
import { RunningSet } from '../app/running-set.js';
import { show } from '../app/screens.js';
import { askedWords } from '../asked/asked-view.js';
import { checkOptions } from '../asked/asked.js';
import { Overlay } from '../figure/overlay.js';
import { LAYOUT } from '../input/estimator.js';
import { facesUser } from '../live/camera-stream.js';
import { listenForEnd } from '../live/endings.js';
import { FilmMaker } from '../live/film-maker.js';
import { FrameLoop } from '../live/frame-loop.js';
import { BEATS, buildLive } from '../live/live-screen.js';
import { speak, tone } from '../live/sounds.js';
import { StartWatch } from '../live/start-watch.js';
import { drawMarks } from './draw-marks.js';
import { heldMarks, holdMarks, marksFor } from './last-marks.js';
import { askMarks } from './marks-view.js';
import { STILL_MS, StillWatch } from './still.js';
import { wholeCrop } from './whole-crop.js';

/** The lifter has so long to walk from the phone to where the squats will be, ms; and stands still there for so long. Common practice, no source. */
const WALK_MS = 4000;
const PICTURE_MS = 2000;
/** The marks are looked for again after, ms; a joint may be lost for so long before the start. */
const AGAIN_MS = 1000;
const LOST_MS = 500;
const WHY =
  'Put each mark on its joint, in this still picture. Left and right are the lifter’s own. Then go back to where you stood: the set starts by itself.';

/** @typedef {import('../live/run-live.js').Outcome} Outcome */
/** @typedef {{ why: string, keep: boolean, again?: boolean, left?: boolean, whole?: boolean }} End */

/**
 * @param {MediaStream} stream
 * @param {import('../app/types.js').Before} before
 * @param {{ facing: string, size: string }} choice changed by the screen
 * @returns {Promise<Outcome | { what: 'whole' }>} `whole`: the lifter wants to be seen whole
 */
export async function runLiveMarked(stream, before, choice) {
  /** @type {(end: End) => void} */
  let end = () => {};
  const ended = new Promise((/** @type {(v: End) => void} */ resolve) => {
    end = resolve;
  });
  const stop = new AbortController();
  /** @type {MarkedSet | null} */
  let running = null;
  const screen = buildLive({
    ...choice,
    onCamera: (facing, size) => {
      Object.assign(choice, { facing, size });
      remember('facing', facing);
      remember('size', size);
      end({ why: '', keep: false, again: true });
    },
    onEnd: () => end({ why: '', keep: true }),
    onStart: () => running?.now(),
    asked: askedWords(),
  });
  const place = el('div', { class: 'marking-place', hidden: true });
  $('live').append(place);
  $('start-now').after(
    el('button', { type: 'button', class: 'plain', id: 'picture-again', onclick: () => running?.anew() }, 'Take another picture'),
    el('button', { type: 'button', class: 'plain', onclick: () => end({ why: '', keep: false, whole: true }) }, 'Show my whole body instead'),
  );
  // How a whole body is filmed.
  $('live').querySelector('.placing')?.remove();
  screen.counting(false);
  show('live', { source: 'the camera', passing: true, onLeave: () => end({ why: '', keep: Boolean(running?.counting), left: true }) });
  const { video } = screen;
  video.srcObject = stream;
  screen.mirror(facesUser(stream));
  await video.play();
  const own = new MarkedSet(screen, before, place, stop.signal, end);
  running = own;
  const loop = new FrameLoop(
    video,
    (t_ms) => own.see(t_ms),
    (error) => end({ why: `The set was ended because the measuring failed (${error instanceof Error ? error.message : String(error)})`, keep: true }),
  );
  const off = listenForEnd(stream, own, end);
  const how = await ended;
  off();
  loop.stop();
  stop.abort();
  document.body.classList.remove('marking');
  if (how.keep && own.counting && own.set) {
    const film = await own.film?.finish();
    return {
      what: 'done',
      set: own.set,
      written: null,
      ...(film ? { film: { ...film, feet: own.set.feet } } : {}),
      why: how.why && `${how.why}: what was seen until then is below.`,
    };
  }
  own.set?.free();
  own.film?.cancel();
  if (how.whole) return { what: 'whole' };
  if (how.again) return { what: 'again' };
  if (how.left) return { what: 'left' };
  return { what: 'nothing', why: how.why && `${how.why}: open the camera again.` };
}

/** What is done with each frame: a picture is taken, its marks are found again, the set is counted. */
class MarkedSet {
  /**
   * @param {ReturnType<typeof buildLive>} screen
   * @param {import('../app/types.js').Before} before
   * @param {HTMLElement} place where marks are asked for
   * @param {AbortSignal} signal
   * @param {(end: End) => void} end
   */
  constructor(screen, before, place, signal, end) {
    this.screen = screen;
    this.before = before;
    this.place = place;
    this.signal = signal;
    this.end = end;
    const { videoWidth: width, videoHeight: height } = screen.video;
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [width, height];
    this.pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d', { willReadFrequently: true }));
    this.overlay = new Overlay(screen.overlay, width, height);
    /** @type {FilmMaker | null} */
    this.film = null;
    this.beats = 0;
    /** Whether a picture is to be taken, and since when, ms. */
    this.wanted = !heldMarks('camera');
    this.from = NaN;
    /** @type {RunningSet | null} */
    this.set = null;
    this.counting = false;
    this.told = false;
    this.reps = 0;
    this.tried = -Infinity;
    this.seen = NaN;
    this.stills = new StillWatch(width, height);
    this.start = new StartWatch();
  }

  /** A picture is to be taken and marked. */
  anew() {
    this.wanted = true;
    this.from = NaN;
    this.forget();
  }

  /** Everything that was learnt of the place where the lifter stands. */
  forget() {
    this.set?.free();
    this.set = null;
    this.counting = false;
    this.told = false;
    this.reps = 0;
    this.tried = -Infinity;
    this.seen = NaN;
    this.stills = new StillWatch(this.pen.canvas.width, this.pen.canvas.height);
    this.start = new StartWatch();
  }

  /** Not to be waited any longer: the picture is taken, or counting begins. */
  now() {
    this.told = true;
  }

  /** @param {number} t_ms */
  async see(t_ms) {
    const { canvas } = this.pen;
    this.pen.drawImage(this.screen.video, 0, 0);
    const t0 = performance.now();
    if (this.set) await this.follow(this.set, t_ms);
    else if (this.wanted) await this.picture(t_ms);
    else await this.find(t_ms);
    if (this.counting) this.film?.add(canvas, t_ms);
    return { estimator_ms: 0, core_ms: performance.now() - t0 };
  }

  /** @param {number} share of the count-in */
  beat(share) {
    const now = Math.floor(share * BEATS);
    if (now > this.beats) tone(440);
    this.beats = now;
    this.screen.beat(share);
  }

  /** Waits for two still seconds, and asks for the marks. @param {number} t_ms */
  async picture(t_ms) {
    const { screen } = this;
    const { canvas } = this.pen;
    if (Number.isNaN(this.from)) this.from = t_ms;
    const walks = t_ms - this.from < WALK_MS;
    if (walks && !this.told) {
      screen.say('Stand where you will squat, for a picture');
      return;
    }
    const still_ms = this.stills.push(canvas, t_ms);
    screen.say(still_ms > 0 ? 'Stay still…' : 'Stand still for the picture');
    this.beat(Math.min(1, still_ms / PICTURE_MS));
    if (still_ms < PICTURE_MS && !this.told) return;
    const still = this.stills.still(canvas, t_ms, STILL_MS);
    tone(880, 0.35);
    speak('done');
    announce('The picture is taken: show feet and shins in it.');
    document.body.classList.add('marking');
    const held = heldMarks('camera');
    const joints = await askMarks(
      this.place,
      { picture: still.picture, proposed: held, why: WHY, go: 'Use these marks', cancel: 'Take another picture' },
      this.signal,
    );
    document.body.classList.remove('marking');
    this.anew();
    if (!joints) return;
    holdMarks(still, joints, 'camera');
    this.wanted = false;
  }

  /** Looks for the marked joints whenever the lifter stands still. @param {number} t_ms */
  async find(t_ms) {
    const { screen } = this;
    const { canvas } = this.pen;
    const still_ms = this.stills.push(canvas, t_ms);
    const marked = heldMarks('camera');
    this.drawn(marked);
    this.beat(0);
    screen.say(still_ms > 0 ? 'Stay still…' : 'Stand as in the picture');
    if (still_ms < STILL_MS || t_ms - this.tried < AGAIN_MS) return;
    this.tried = t_ms;
    const still = this.stills.still(canvas, t_ms, STILL_MS);
    const again = marksFor(still);
    screen.guide([{ word: again?.sure ? 'yes' : 'wait', text: again?.said ?? '' }], []);
    if (!again?.sure) return;
    const set = await RunningSet.open({
      layout: LAYOUT,
      image: { width: canvas.width, height: canvas.height },
      ...setupFrom(this.before),
      hurts: this.before.hurts,
      ...checkOptions(),
    });
    try {
      await set.session.mark(t_ms, again.joints, still.crops);
    } catch {
      set.free();
      screen.guide([{ word: 'no', text: 'Feet and shins can’t be followed from these marks: take another picture, with more light.' }], []);
      return;
    }
    holdMarks(still, again.joints, 'camera');
    this.set = set;
    this.told = false;
    this.seen = t_ms;
    // The stretch of standing is the set's own.
    const past = this.stills.since.filter((one) => t_ms - one.t_ms <= STILL_MS);
    await Promise.all(past.map((one) => set.push(one.t_ms, null, [one.crop])));
    set.on('set', () => {
      if (this.counting) this.end({ why: '', keep: true });
    });
  }

  /** @param {RunningSet} set @param {number} t_ms */
  async follow(set, t_ms) {
    const { screen } = this;
    if (set.frames.length && t_ms <= set.frames[set.frames.length - 1].t_ms) return;
    const [live, seen] = await Promise.all([set.push(t_ms, null, [wholeCrop(this.pen.canvas)]), set.session.followed()]);
    if (this.set !== set) return;
    const wanted = Object.keys(heldMarks('camera') ?? {});
    const found = wanted.filter((joint) => seen?.[/** @type {import('./joints.js').MarkedJoint} */ (joint)]);
    if (found.length === wanted.length) this.seen = t_ms;
    this.drawn(seen);
    if (this.counting) {
      screen.during(live.reps, live.phase);
      if (live.reps > this.reps) {
        tone(660, 0.12);
        speak(String(live.reps));
      }
      this.reps = live.reps;
      return;
    }
    if (t_ms - this.seen > LOST_MS) return this.forget();
    const countIn = this.start.ready(t_ms, found.length === wanted.length, live);
    this.beat(countIn);
    screen.say(countIn > 0 ? 'Stay still…' : 'Stand still to start');
    if (countIn < 1 && !this.told) return;
    this.counting = true;
    screen.counting(true);
    tone(880, 0.35);
    speak('go');
    announce('Counting.');
    if (recall('film', false)) this.film = await FilmMaker.start(this.pen.canvas.width, this.pen.canvas.height).catch(() => null);
  }

  /** @param {Partial<Record<string, readonly [number, number] | null>> | null} joints */
  drawn(joints) {
    this.overlay.draw(this.pen.canvas, null);
    const pen = /** @type {CanvasRenderingContext2D} */ (this.screen.overlay.getContext('2d'));
    const by = this.screen.overlay.width / this.pen.canvas.width;
    drawMarks(pen, joints ?? {}, ([x, y]) => [x * by, y * by], 4);
  }
}
