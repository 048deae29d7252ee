// One set in progress, owned by the host.
import { picked, plainCopy, setupCopy } from './copy.js';
import { UnderfootError, bad, converted } from './error.js';
import { has, numbersAt, raw, rawWith, startWith } from './module.js';
import { options } from './options.js';
import { framesOf } from './kept.js';
import { Flattener } from './points.js';
import { SetWatch } from './set-watch.js';

const PHASES = ['searching', 'standing', 'down', 'bottom', 'up'];
/** Before the first frame. */
const START = Object.freeze({ phase: 'searching', reps: 0, standing_known: false, can_see: null, azimuth_deg: null, rep_done: null });
/** Numbers that `values` gives. */
const VALUES = 16;
/** The joints that are followed from marks, in the module's order, and the name of that estimator. */
const MARKED = ['left', 'right'].flatMap((side) => ['knee', 'ankle', 'heel', 'big_toe', 'small_toe'].map((part) => `${side}_${part}`));
const FOLLOWED = 'followed-from-marks';
const OPTIONS = ['thresholds', 'hurts', 'look_again_days'];

/** See index.d.ts. */
export class Session extends EventTarget {
  #raw;
  /** The set-up as it was given, but options. */
  #setup;
  /** Where the last points came from, see adapters.d.ts. */
  #source;
  #points;
  #values = null;
  #seen = null;
  #watch = new SetWatch();
  #options;
  /** The repetitions that were told. */
  #told = [];
  /** Why pictures can't be followed. */
  #blind = null;
  #live = START;

  constructor(given) {
    super();
    const glue = raw();
    if (given === null || typeof given !== 'object') throw bad('setup', 'must be an object with `layout` and `image`');
    const setup = setupCopy(given, OPTIONS);
    const chosen = options(picked(given, OPTIONS));
    this.#raw = guarded(() => new glue.RawSession(setup, chosen));
    this.#setup = setup;
    this.#options = chosen;
    this.#points = new Flattener(this.#raw);
  }

  /** See index.d.ts. */
  push(t_ms, points, grey) {
    const own = this.#own();
    if (typeof t_ms !== 'number') throw bad('t_ms', 'must be a number of milliseconds');
    const source = points?.source;
    if (source && source !== this.#source) this.#from(own, source);
    const people = this.#points.take(points);
    let live;
    try {
      if (grey) this.#look(own, grey);
      const packed = own.push(t_ms, people);
      if (packed < 0) throw own.fault();
      live = this.#state(own, packed);
    } catch (error) {
      throw converted(error);
    }
    this.#live = live;
    const over = this.#watch.push(t_ms, live, !people && !this.#setup.marks);
    if (live.rep_done) this.#tell('rep', live.rep_done);
    if (over) this.#over();
    return live;
  }

  /** See index.d.ts. */
  async mark(t_ms, joints, pictures) {
    const own = this.#own();
    const marks = plainCopy({ t_ms, joints }, 'marks');
    if (!Array.isArray(pictures) || !pictures.length) throw bad('marks', 'need the whole picture that they are made in');
    for (const picture of pictures) checkGrey(picture, ['both']);
    await startWith('picture');
    guarded(() => {
      for (const picture of pictures) pushGrey(own, picture, true);
      own.mark(marks);
    });
    // From here on the points are those of the marks.
    const { count } = own;
    const joint = MARKED.map((name, i) => [name, i]);
    Object.assign(this.#setup, { layout: { count, joints: Object.fromEntries(joint) }, estimator: FOLLOWED, marks: this.#setup.marks ?? marks });
    this.#points = new Flattener(own);
  }

  /** See index.d.ts. */
  followed() {
    const own = this.#own();
    if (!this.#setup.marks || !has('picture')) return null;
    const flat = guarded(() => own.followed());
    if (!flat.length) return null;
    return Object.fromEntries(MARKED.map((name, i) => [name, Number.isFinite(flat[3 * i]) ? [flat[3 * i], flat[3 * i + 1]] : null]));
  }

  /** Points of an adapter: they must be of this picture, and name the estimator where the set-up doesn't. */
  #from(own, source) {
    const { estimator, image } = source;
    const { width, height } = this.#setup.image;
    if (image && (image.width !== width || image.height !== height)) {
      throw bad('points', `are of a picture of ${image.width} x ${image.height} px, the set-up's image is ${width} x ${height}`);
    }
    if (estimator && !this.#setup.estimator) {
      own.estimator(estimator);
      this.#setup.estimator = estimator;
    }
    this.#source = source;
  }

  /** Hands the crops to what follows them; the first ones fetch it, and go by unseen where that takes a while. */
  #look(own, crops) {
    for (const crop of crops) checkGrey(crop);
    if (has('picture')) {
      for (const crop of crops) pushGrey(own, crop);
      return;
    }
    if (this.#blind) throw this.#blind;
    startWith('picture').catch((error) => {
      this.#blind = error;
    });
  }

  #tell(name, detail) {
    if (name === 'rep') this.#told.push(detail);
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }

  /** A repetition's result so far; before the part that reads it is there it comes with the event alone. */
  #rep(own, number) {
    if (has('report')) return soFar(own.rep(number));
    startWith('report').then(
      () => {
        const rep = this.#raw && soFar(this.#raw.rep(number));
        if (rep) this.#tell('rep', rep);
      },
      () => {},
    );
    return null;
  }

  /** The set is over: its report comes in a task of its own, so that no frame waits for it. */
  #over() {
    const { since, ended } = this.#watch;
    setTimeout(async () => {
      await startWith('report').catch(() => {});
      if (!this.#raw) return;
      this.#setDone(this.#between(since, ended));
      // What the sets before it came to is kept for a report over all of them.
      this.#raw?.settle();
    });
  }

  /** The live state from the module's one number (src/wasm/session.rs). */
  #state(own, packed) {
    const reps = packed >>> 5;
    const standing_known = (packed & 8) !== 0;
    const done = (packed & 16) !== 0;
    if (!standing_known) this.#seen = null;
    else if (!this.#seen || done) this.#seen = own.seen();
    return {
      phase: PHASES[packed & 7],
      reps,
      standing_known,
      can_see: this.#seen,
      azimuth_deg: this.#seen?.view.azimuth_deg ?? null,
      rep_done: done ? this.#rep(own, reps) : null,
    };
  }

  /** See index.d.ts. */
  get live() {
    return this.#live;
  }

  /** See index.d.ts. */
  feet() {
    const own = this.#own();
    if (!has('picture')) return { left: null, right: null };
    return guarded(() => ({ left: footOf(own, false), right: footOf(own, true) }));
  }

  /** See index.d.ts. */
  values() {
    const own = this.#own();
    const at = guarded(() => own.values());
    if (!this.#values?.length) this.#values = numbersAt(at, VALUES);
    return valuesOf(this.#values);
  }

  #setDone(report) {
    // What showed only in the whole set (feet and shins alone, often) is told with it.
    const untold = (rep) => !this.#told.some((told) => told.start_ms < rep.end_ms && rep.start_ms < told.end_ms);
    for (const rep of report.reps.filter(untold)) this.#tell('rep', { ...rep, final: true });
    this.#tell('set', { ...report, final: true });
    return report;
  }

  /** See index.d.ts. */
  finish(chosen) {
    this.#own();
    const { since, ended } = this.#watch;
    // What was told of a set stays: frames after it are the next one's, or nobody's.
    const fresh = this.#between(ended ?? since, null, chosen);
    if (ended !== null && !fresh?.reps.length) return this.#setDone(this.#between(since, ended, chosen));
    if (fresh.reps.length) this.#watch.finished();
    return this.#setDone(fresh);
  }

  /** See index.d.ts. */
  report(chosen) {
    const own = this.#own();
    rawWith('report');
    const read = options(chosen);
    return guarded(() => own.report(read));
  }

  /** The report over the frames after one instant and until another, null being the first and the last; null when there is none. */
  #between(after, until, chosen) {
    if (after === null && (until === null || until === this.#watch.now)) return this.report(chosen);
    const functions = rawWith('report');
    const read = { ...this.#options, ...options(chosen) };
    const frames = framesOf(this.#own(), after, until);
    return frames.length ? guarded(() => functions.analyze({ ...this.#setup, frames }, read)) : null;
  }

  /** See index.d.ts. */
  get options() {
    return structuredClone(this.#options);
  }

  /** See index.d.ts. */
  recording() {
    const own = this.#own();
    return { ...structuredClone(this.#setup), frames: framesOf(own) };
  }

  /** See index.d.ts. */
  reset() {
    this.#own().reset();
    this.#seen = null;
    this.#watch = new SetWatch();
    this.#told = [];
    this.#live = START;
  }

  /** See index.d.ts. */
  free() {
    const own = this.#raw;
    this.#raw = undefined;
    try {
      own?.free();
    } catch {
      // After an internal failure the module refuses; there is nothing left to give back.
    }
  }

  /** Whether `free` was called. */
  get freed() {
    return this.#raw === undefined;
  }

  #own() {
    if (this.#raw) return this.#raw;
    throw new UnderfootError('freed', 'this session was freed: make a new one');
  }
}

if (Symbol.dispose) Session.prototype[Symbol.dispose] = Session.prototype.free;

/** A repetition before its set is over: the report, which reads all of a set together, may say otherwise. */
const soFar = (rep) => rep && { ...rep, final: false };

/** The module's eight pairs of value and standard error, by check. */
function valuesOf(flat) {
  const one = (i) => (Number.isFinite(flat[2 * i]) ? { value: flat[2 * i], sd: flat[2 * i + 1] } : null);
  const sides = (i) => ({ left: one(i), right: one(i + 1) });
  return { heel_lift_mm: sides(0), knee_in_deg: sides(2), foot_roll_deg: sides(4), forward_pct: one(6), load_left_pct: one(7) };
}

function checkGrey(crop, sides = ['left', 'right', 'both']) {
  const { side, x, y, width, height, data, stride = width, scale = 1 } = crop ?? {};
  if (!sides.includes(side)) throw bad('grey.side', `must be ${sides.map((name) => `'${name}'`).join(' or ')}`);
  if (!(data instanceof Uint8Array || data instanceof Uint8ClampedArray)) {
    throw bad('grey.data', 'must be a Uint8Array with one byte of brightness for each pixel');
  }
  for (const [name, value] of Object.entries({ x, y, width, height, stride, scale })) {
    if (typeof value !== 'number' || !Number.isFinite(value)) throw bad(`grey.${name}`, 'must be a finite number');
  }
}

function pushGrey(own, { side, x, y, width, height, data, stride = width, scale = 1 }, still = false) {
  // A copy by the list itself: a length of the host's own could lie.
  const bytes = new Uint8Array(data);
  if (side === 'both') own.picture(still, x, y, width, height, stride, scale, bytes);
  else own.grey(side === 'right', x, y, width, height, stride, scale, bytes);
}

/** The foot as the last frame's cut-out showed it. */
function footOf(own, right) {
  const flat = own.foot(right);
  const points = Array.from({ length: flat.length / 2 }, (_, i) => [flat[2 * i], flat[2 * i + 1]]);
  const seen = (point) => (point && Number.isFinite(point[0]) ? point : null);
  const [heel, big_toe, small_toe, ...outline] = points;
  if (points.length) return { outline, heel: seen(heel), big_toe: seen(big_toe), small_toe: seen(small_toe), lost: null };
  const lost = own.lost(right);
  return lost ? { outline: [], heel: null, big_toe: null, small_toe: null, lost } : null;
}

function guarded(call) {
  try {
    return call();
  } catch (error) {
    throw converted(error);
  }
}
