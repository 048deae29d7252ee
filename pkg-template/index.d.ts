/// <reference lib="esnext.disposable" />
/**
 * Underfoot reads a squatting lifter's feet from 2D keypoints.
 *
 * Names follow the lifter: left and right are the lifter's own. Pixels count from the picture's top left corner, x to the
 * right, y down. Times are milliseconds of the recording's own clock and must not go back. Fields are in snake_case with
 * their unit at the end (`_ms`, `_s`, `_mm`, `_m`, `_deg`, `_pct`, `_kg`), as in recordings and reports.
 */

/* ------------------------------------------------------------------ loading */

/** Where the module can come from: a URL or its text, a request, a response (or its promise), bytes, or a compiled module. */
export type ModuleSource = string | URL | Request | Response | Promise<Response> | BufferSource | WebAssembly.Module;

/** Places of the module and its parts, for hosts that keep them elsewhere; what is left out is where the package has it. */
export interface ModuleSources {
  /** `underfoot_bg.wasm`, which every call needs. */
  module?: ModuleSource;
  /** `underfoot_report.wasm`, for reports and whole recordings. */
  report?: ModuleSource;
  /** `underfoot_picture.wasm`, for crops of the picture. */
  picture?: ModuleSource;
  /** `underfoot_compare.wasm`, for `compare`. */
  compare?: ModuleSource;
}

/**
 * Loads the module, with what reports need. Await it once before anything else; calling it again is harmless and a failed load can
 * be repeated.
 * @param source nothing: the package's own files; otherwise the module's place, or the places of the module and its parts.
 * @throws {UnderfootError} `load-failed` when it cannot be fetched or compiled, `bad-input` for anything else than a source.
 */
export function init(source?: ModuleSource | ModuleSources): Promise<void>;

/**
 * Loads what frames need and no more: a page that films can begin sooner. Await `init()` before the first report; the event `set`
 * waits for it by itself.
 * @throws {UnderfootError} as `init`.
 */
export function initLive(source?: ModuleSource | ModuleSources): Promise<void>;

/**
 * Loads what follows feet in crops of the picture. The first crop fetches it as well, but those that come before it is there go by
 * unseen (in a worker they wait).
 * @param source the place of `underfoot_picture.wasm`.
 * @throws {UnderfootError} as `init`.
 */
export function initPicture(source?: ModuleSource | ModuleSources): Promise<void>;

/**
 * Loads the module at once, for hosts that hold its bytes; in Node, with no argument, from the package's own files.
 * @param input bytes of the module, a compiled module, or an object of these for the module and its parts.
 * @throws {UnderfootError} `load-failed` when it cannot be compiled, `bad-input` for anything else.
 */
export function initSync(input?: BufferSource | WebAssembly.Module | { [part in keyof ModuleSources]?: BufferSource | WebAssembly.Module }): void;

/** The package's version, for example `"0.1.0"`. */
export const version: string;

/* ------------------------------------------------------------------ what goes in */

/** A published order of keypoints. */
export type LayoutName = 'blazepose-33' | 'halpe-26' | 'body-25' | 'coco-wholebody-133' | 'coco-17';

/** A pose estimator whose errors were measured. */
export type EstimatorName = 'mediapipe-pose' | 'optical-markers';

/** A joint's name; left and right are the lifter's own. */
export type JointName =
  | 'nose'
  | 'left_eye'
  | 'right_eye'
  | 'left_ear'
  | 'right_ear'
  | 'left_shoulder'
  | 'right_shoulder'
  | 'left_elbow'
  | 'right_elbow'
  | 'left_wrist'
  | 'right_wrist'
  | 'left_hip'
  | 'right_hip'
  | 'left_knee'
  | 'right_knee'
  | 'left_ankle'
  | 'right_ankle'
  | 'left_heel'
  | 'right_heel'
  | 'left_big_toe'
  | 'right_big_toe'
  | 'left_small_toe'
  | 'right_small_toe';

/** An order of keypoints of your own. */
export interface JointMap {
  /** Points in one person's list, 1 to 1024. */
  count: number;
  /** Place of each joint that the estimator gives, 0 to count - 1; leave out what it lacks. */
  joints: Partial<Record<JointName, number>>;
}

/** Everything about a recording but its frames. */
export interface Setup {
  /** Order of the points. */
  layout: LayoutName | JointMap;
  /** Size of the picture that the points refer to. */
  image: {
    /** Width, px. */
    width: number;
    /** Height, px. */
    height: number;
  };
  /** What is known about the lifter. */
  lifter?: {
    /** Stature, m, 0.8 to 2.6. */
    height_m?: number | null;
  } | null;
  /** What the lifter carries; it moves the centre of mass. */
  load?: {
    /** Body mass, kg, 15 to 400. */
    body_kg?: number | null;
    /** Mass of bar and plates, kg, 0 to 1000. */
    bar_kg?: number | null;
    /** How it is carried. */
    carry?: 'back' | 'front' | 'overhead' | 'goblet' | 'none' | null;
  } | null;
  /** What is known about the camera; all of it is estimated otherwise. */
  camera?: {
    /** Horizontal field of view of the picture's width, degrees, 5 to 170. */
    hfov_deg?: number | null;
    /** The picture is flipped left-right, and what the estimator calls left is the lifter's right. */
    mirrored?: boolean | null;
    /** Pitch, degrees, + = looking up, -90 to 90. */
    pitch_deg?: number | null;
    /** Roll, degrees, + = picture turned clockwise, -180 to 180. */
    roll_deg?: number | null;
  } | null;
  /** What is on the feet. */
  footwear?: 'barefoot' | 'flat' | 'raised-heel' | null;
  /**
   * Name of the pose estimator, to pick its error profile; upper case, blanks and underscores don't matter. Unknown or absent: a generic
   * profile, and the note `unknown-estimator`. The adapters of `underfoot/adapters` name it for a session whose set-up doesn't.
   */
  estimator?: EstimatorName | (string & {}) | null;
  /** Feet and shins as they were marked; kept by `Session.mark`. */
  marks?: Marks | null;
}

/** Settings of a session or an analysis. */
export interface Options {
  /** Lines between clear and fault that differ from `defaultThresholds()`; changed ones are marked in the report. */
  thresholds?: Partial<Thresholds> | null;
  /** The lifter said that something hurts: the advice to stop comes ahead of any cue. */
  hurts?: boolean;
  /** When the cue says to look again, days, 1 to 90. Default 7. */
  look_again_days?: number;
}

/** A set-up with settings, for `new Session`. */
export interface SessionSetup extends Setup, Options {}

/**
 * One point: x px, y px, score 0 to 1 (1 when left out; below about 0.3 means unseen). Null, or a coordinate or score that is null or
 * NaN: unseen.
 */
export type Point = readonly [x: number | null, y: number | null, score?: number | null] | ArrayLike<number | null> | null;

/** One point as an object: x px, y px, score 0 to 1 (`visibility` is taken when there is no `score`; 1 when both are missing). */
export interface PointObject {
  /** px from the left edge. */
  x: number | null;
  /** px from the upper edge. */
  y: number | null;
  /** 0 to 1. */
  score?: number | null;
  /** 0 to 1. */
  visibility?: number | null;
}

/** One person's points in the layout's order: flat (x px, y px, score; 3 numbers a point), or a list of points. */
export type Person = Float32Array | Float64Array | readonly (number | null)[] | readonly (Point | PointObject)[];

/** What one frame shows: one person, several people, or null when nobody was found. */
export type FramePoints = Person | readonly (Person | null)[] | null;

/** A cut-out of the picture around one foot, or the whole picture, in shades of grey, at the camera's full resolution. */
export interface GreyCrop {
  /** The lifter's foot that it shows; `both` for the whole picture, in which feet and shins are followed. */
  side: 'left' | 'right' | 'both';
  /** Its left edge in the picture, px of `image`. */
  x: number;
  /** Its upper edge in the picture, px of `image`. */
  y: number;
  /** Pixels in a row. */
  width: number;
  /** Rows. */
  height: number;
  /** Brightness of each pixel, 0 to 255, row by row. */
  data: Uint8Array | Uint8ClampedArray;
  /** Bytes from one row to the next. Default: width. */
  stride?: number;
  /** Size of one of its pixels in px of `image`; 0.5 when the video is twice as large as the estimator's picture. Default 1. */
  scale?: number;
}

/** What can be marked of feet and shins; `knee` is the middle of the knee joint, at the top of the shin. */
export type MarkedJoint = `${'left' | 'right'}_${'knee' | 'ankle' | 'heel' | 'big_toe' | 'small_toe'}`;

/** Feet and shins as they were marked in one still picture of standing. */
export interface Marks {
  /** Time of the picture, ms. */
  t_ms: number;
  /** x and y, px of `image`. One leg at least needs knee, ankle, heel and a toe. */
  joints: Partial<Record<MarkedJoint, readonly [number, number] | null>>;
}

/** Where a foot that is followed in its picture is seen; points are x and y, px of `image`. */
export interface FootOutline {
  /** Corners of the outline of what is followed; empty while the foot is lost. */
  outline: [number, number][];
  /** Where the heel meets the floor in standing. */
  heel: [number, number] | null;
  /** Base of the big toe. */
  big_toe: [number, number] | null;
  /** Base of the little toe. */
  small_toe: [number, number] | null;
  /** Why it was lost in this frame; null while it is followed. */
  lost: 'no-picture' | 'no-texture' | 'dark' | 'blurred' | 'covered' | null;
}

/** One frame of a recording. */
export interface Frame {
  /** Time, ms. */
  t_ms: number;
  /** One person's points, or null when nobody was found. */
  points?: readonly (readonly (number | null)[] | null)[] | null;
  /** Everybody's points when several were found; taken instead of `points`. */
  people?: readonly (readonly (readonly (number | null)[] | null)[] | null)[];
  /** What the pictures of the feet said when the frame was taken; read in place of the pictures. */
  feet?: { left?: TrackedFoot; right?: TrackedFoot };
}

/** What the tracked picture of one foot said of a frame, relative to quiet standing. */
export interface TrackedFoot {
  /** Height of the heel point above standing, mm, and its standard error. */
  heel_lift_mm?: readonly [value: number, sd: number];
  /** Rotation about the foot's long axis, inward +, degrees, and its standard error. */
  foot_roll_deg?: readonly [value: number, sd: number];
  /** Heel point, big-toe base and little-toe base in the picture, px; null where one is not seen. */
  contacts_px?: readonly (readonly [x: number, y: number] | null)[];
  /** The shin's axis in the picture, ankle and top, px: seen where whole pictures are given. */
  shin_px?: readonly [ankle: readonly [x: number, y: number], top: readonly [x: number, y: number]];
  /** How far the foot was set elsewhere since it was learnt: along itself and toward the other one, mm; turned out, degrees. */
  set_by?: readonly [along: number, toward: number, out: number];
}

/** A foot, or both, set elsewhere within a set. */
export interface FootSet {
  /** When it was first seen to stand there, ms. */
  at_ms: number;
  /** One foot, told by its picture; both when the keypoints told, which can't say by how far. */
  side: 'left' | 'right' | 'both';
  /** How far along itself, mm. */
  along_mm: number | null;
  /** How far toward the other foot, mm. */
  toward_mm: number | null;
  /** By how much it was turned out, degrees. */
  turned_out_deg: number | null;
}

/** A recording: one lifter's keypoints over time. */
export interface Recording extends Setup {
  /** Frames in order of time. */
  frames: readonly Frame[];
}

/* ------------------------------------------------------------------ what comes out */

/** A value for each of the lifter's sides. */
export interface Sides<T> {
  /** The lifter's left. */
  left: T;
  /** The lifter's right. */
  right: T;
}

/**
 * How sure it is that something in the repetition passes a line: `fault` with at least 90 %, `clear` when nothing does, either
 * way, with at least 90 %; `unsure` between them; or not seen.
 */
export type Verdict = 'clear' | 'unsure' | 'fault' | 'unseen';

/** A check's name; the unit is its ending. */
export type CheckName = 'heel_lift_mm' | 'knee_in_deg' | 'foot_roll_deg' | 'forward_pct' | 'load_left_pct';

/** One check's result in one repetition. */
export interface Mark {
  /** The excursion that goes furthest beyond a line, or comes closest to one (signed), in the check's unit; null when unseen. */
  value: number | null;
  /** Its standard error, same unit; may be known when the value is unseen. */
  sd: number | null;
  /** When, ms; null when unseen. */
  at_ms: number | null;
  /** 0 (none) to 100; null when unseen. */
  score: number | null;
  /** How sure. */
  verdict: Verdict;
  /** What carried the value; null when unseen. */
  evidence: 'keypoints' | 'picture' | 'both' | null;
  /** The largest excursion the other way, where the check has two lines; null otherwise, and when unseen. */
  opposite: { value: number; sd: number; at_ms: number } | null;
  /** The knee's value less that in standing, degrees; absent for other checks, and when unseen. */
  from_standing?: number;
  /** Where in the lift it peaked: 0 start, 1 bottom, 2 end; null when unseen. */
  peak_phase: number | null;
  /** Where in the lift it set in: 0 start, 1 bottom, 2 end; null when it did not. */
  onset: number | null;
  /** Why it is unseen: the layout lacks the points, the view hides it, points missing, no quiet standing, too much noise. */
  why?: 'layout' | 'view' | 'missing' | 'standing' | 'noise' | 'not-a-squat';
  /** True when the threshold is not the default; absent otherwise. */
  threshold_changed?: boolean;
}

/** The checks of one repetition. All are relative to quiet standing but the knees' lean and the load share, which are absolute. */
export interface Checks {
  /** Height of the heel point, mm, + = higher than in standing. */
  heel_lift_mm: Sides<Mark>;
  /**
   * Lean of the shank out of the foot's plane, degrees, + = knee inside, - = outside, 0 = over the second toe; judged where the
   * lifter is lower than a quarter of the way down. Straight legs stand 3 to 7 degrees inside.
   */
  knee_in_deg: Sides<Mark>;
  /** Roll of the foot, degrees, + = inward (big-toe side loaded), - = outward. */
  foot_roll_deg: Sides<Mark>;
  /** Movement of the centre of mass along the feet, % of foot length, + = toward the toes. */
  forward_pct: Mark;
  /** The left foot's share of the load, %, 50 = even. */
  load_left_pct: Mark;
}

/** One repetition. */
export interface RepResult extends Checks {
  /** Its number, from 1. */
  index: number;
  /** Leaves standing, ms. */
  start_ms: number;
  /** Lowest point, ms. */
  bottom_ms: number;
  /** Stands again, ms. */
  end_ms: number;
  /** Drop of the pelvis as a fraction (0 to 1) of its height in standing; null when hips and shins are unseen. */
  depth: number | null;
  /**
   * Inclination of the thighs at the bottom, degrees: + = the hip joint is lower than the knee joint. No line is drawn on it:
   * `score` is null, and what is seen is `clear`.
   */
  thigh_deg: Mark;
  /** Nearer a quarter squat than a half squat (knees bent by less than about 75 degrees): a shallow repetition hides faults. */
  shallow: boolean;
  /** Its parts. */
  tempo: {
    /** Descent, s. */
    down_s: number;
    /** Held at the bottom, s. */
    pause_s: number;
    /** Ascent, s. */
    up_s: number;
  };
}

/** Where the camera stood. */
export interface View {
  /** Bearing seen from the lifter, degrees: 0 in front, +90 on the lifter's left, 180 behind; -180 to 180. */
  azimuth_deg: number;
  /** Its standard error, degrees. */
  azimuth_sd_deg: number;
  /** Distance, m. */
  distance_m: number;
  /** The bearing in words: `front`, `front-left`, `left`, `rear-left`, `rear`, `rear-right`, `right`, `front-right`. */
  name: string;
}

/** The quiet standing that everything is read against. */
export interface Standing {
  /** First frame, ms. */
  from_ms: number;
  /** Last frame, ms. */
  to_ms: number;
  /** Between the ankles, mm. */
  stance_width_mm: number;
  /** Its standard error, mm. */
  stance_width_mm_sd: number;
  /** Each foot's long axis from straight ahead, degrees, + = turned out. */
  toe_out_deg: Sides<number>;
  /** Their standard errors, degrees. */
  toe_out_deg_sd: Sides<number>;
  /** Stature, m. */
  height_m: number;
  /** Its standard error, m. */
  height_m_sd: number;
}

/** Name of a cue. */
export type CueId =
  'heel-print' | 'stretch-the-mat' | 'heel-print-and-stretch' | 'toe-print' | 'carrying-toe-print' | 'tape-line' | 'keep' | 'film-again' | 'stop';

/** Code of a remark. */
export type NoteCode =
  | 'also-seen'
  | 'other-heel'
  | 'slip'
  | 'too-close'
  | 'not-from-this-side'
  | 'hidden'
  | 'shaky'
  | 'no-points'
  | 'no-standing'
  | 'shallow'
  | 'one-repetition'
  | 'shoes'
  | 'raised-heel'
  | 'lines-changed'
  | 'geometry'
  | 'slow-lifting'
  | 'foot-moved'
  | 'foot-turned'
  | 'feet-anew'
  | 'no-person'
  | 'turned'
  | 'steps'
  | 'lunges'
  | 'kneeling'
  | 'aside'
  | 'bends'
  | 'jumps'
  | 'tiptoe'
  | 'reaching'
  | 'too-quick'
  | 'sitting-down'
  | 'squeezed'
  | 'left-out'
  | 'upside-down'
  | 'quarter-turn'
  | 'phone-knocked'
  | 'phone-drifted'
  | 'phone-shaken'
  | 'out-of-sight'
  | 'unknown-fields'
  | 'unknown-estimator';

/** Name of advice on how to film the next set. */
export type FilmId = 'side-on' | 'other-side' | 'face-the-phone' | 'stand-still' | 'in-the-picture' | 'steady' | 'foot-points' | 'more-repetitions' | 'deeper';

/** A plain remark. */
export interface Note {
  /** Stable name. */
  code: NoteCode;
  /** The remark in English. */
  text: string;
}

/** What the set shows. */
export interface Finding {
  /** Which shift of the weight. */
  kind: 'forward' | 'inward' | 'forward-inward' | 'outward' | 'sideways' | 'none' | 'not-enough-seen' | 'not-squats';
  /** The foot, or null when it has no side, and where one heel is up and the other one is hidden. */
  side: 'left' | 'right' | 'both' | null;
  /** Numbers of the repetitions (from 1) that show it. */
  reps: number[];
  /** Where in the lift it sets in: 0 start, 1 bottom, 2 end; null when unknown. */
  onset: number | null;
  /** How it runs over the set; null when there are too few repetitions. */
  trend: {
    /** Change per repetition, in the unit of the check that carries the finding. */
    per_rep: number;
    /** Its standard error, same unit. */
    sd: number;
    /** Grows beyond doubt (95 %). */
    growing: boolean;
  } | null;
  /** 0 to 1. */
  confidence: number;
  /** The checks that were judged, clear or a fault, on both feet in most repetitions. */
  judged: CheckName[];
  /** The others. */
  not_judged: CheckName[];
  /** Sentences about a foot's resting shape, which is no fault. */
  resting_shape: string[];
  /** The finding in one sentence. */
  sentence: string;
}

/** The one thing to do. */
export interface Cue {
  /** Stable name of the cue. */
  id: CueId;
  /** The foot it is for, or null when it has none. */
  side: 'left' | 'right' | 'both' | null;
  /** The cue in plain words. */
  text: string;
  /** The evidence, two sentences. */
  why: string[];
  /** How to film the next set when a likely fault could not be seen, or null. */
  film_next: string | null;
  /** Stable name of that advice, or null. */
  film_next_id: FilmId | null;
  /** When to look again, days. */
  look_again_days: number;
  /** The usual cautions: show them wherever the cue is shown. */
  cautions: string[];
}

/** State of one contact point of a foot: geometry, not pressure. */
export type Contact = 'planted' | 'light' | 'lifted' | 'unseen';

/** The three contact points of one foot, one state for each of the series' times. */
export interface Contacts {
  /** Heel. */
  heel: Contact[];
  /** Base of the big toe. */
  big_toe: Contact[];
  /** Base of the little toe. */
  small_toe: Contact[];
}

/** Curves of the checks, in their units; every list has the length of `t_ms`, null where unseen. */
export interface Curves {
  /** mm, + = higher than in standing. */
  heel_lift_mm: Sides<(number | null)[]>;
  /** Degrees, + = knee inside. */
  knee_in_deg: Sides<(number | null)[]>;
  /** Degrees, + = rolled inward. */
  foot_roll_deg: Sides<(number | null)[]>;
  /** % of foot length, + = toward the toes. */
  forward_pct: (number | null)[];
  /** %, 50 = even. */
  load_left_pct: (number | null)[];
}

/** Curves over time. */
export interface Series extends Curves {
  /** Times, ms. */
  t_ms: number[];
  /** Standard errors of the curves, in the same units. */
  sd: Curves;
  /** Contact states of each foot. */
  contacts: Sides<Contacts>;
}

/** What a recording shows. */
export interface Report {
  /** Version of this form. */
  schema: 1;
  /** Where the camera stood; null when no quiet standing was found. */
  view: View | null;
  /** The quiet standing; null when none was found. */
  standing: Standing | null;
  /** The repetitions, in order. */
  reps: RepResult[];
  /** What the set shows. */
  finding: Finding;
  /** Feet that were set elsewhere after the first standing; absent when none was. */
  feet_set?: FootSet[];
  /** The one thing to do. */
  cue: Cue;
  /** What could not be seen and why, and other plain remarks. */
  notes: Note[];
  /** The lines it was judged by, all of them, when the coach changed any. */
  thresholds?: Record<CheckName, SourcedLines>;
  /** Curves, when asked for. */
  series?: Series;
  /** In the event `set` only: no later frame changes it. */
  final?: true;
}

/** What this view can show: standard errors to be expected at the bottom of a deep squat; null where nothing can be measured. */
export interface CanSee {
  /** Where the camera stands. */
  view: View;
  /** mm. */
  heel_lift_mm: Sides<number | null>;
  /** Degrees. */
  knee_in_deg: Sides<number | null>;
  /** Degrees. */
  foot_roll_deg: Sides<number | null>;
  /** % of foot length. */
  forward_pct: number | null;
  /** %. */
  load_left_pct: number | null;
}

/** A check in one frame. */
export interface Estimate {
  /** Less its value in quiet standing (knees and load share absolute), in the check's unit; not smoothed. */
  value: number;
  /** Its standard error, same unit. */
  sd: number;
}

/** Every check in one frame; null where it is not seen. */
export interface LiveValues {
  /** mm, + = higher than in standing. */
  heel_lift_mm: Sides<Estimate | null>;
  /** Degrees, + = inside the foot's line. */
  knee_in_deg: Sides<Estimate | null>;
  /** Degrees, + = rolled inward. */
  foot_roll_deg: Sides<Estimate | null>;
  /** % of foot length, + = toward the toes. */
  forward_pct: Estimate | null;
  /** %, 50 = even. */
  load_left_pct: Estimate | null;
}

/** The state after a frame. */
export interface Live {
  /** Where in the lift. `searching`: no quiet standing yet, or the lifter walks. */
  phase: 'searching' | 'standing' | 'down' | 'bottom' | 'up';
  /** Repetitions finished so far. */
  reps: number;
  /** Quiet standing is known, so that values can be measured. */
  standing_known: boolean;
  /** What can be seen from here; null until standing is known. */
  can_see: CanSee | null;
  /** The camera's bearing seen from the lifter, degrees (0 in front, +90 on the lifter's left); null until standing is known. */
  azimuth_deg: number | null;
  /** The repetition that ended with this frame, as far as it is known, or null. */
  rep_done: RepEvent | null;
}

/* ------------------------------------------------------------------ the calls */

/** Events of a session, by name. */
export interface SessionEvents {
  /**
   * A repetition is over; `detail` is what is known of it so far, `final: false`: the report reads all repetitions of the set together, so
   * instants, values and now and then a verdict differ there. One that shows only in the whole set (feet and shins alone, often) is told
   * just before `set` as the report has it, `final: true`.
   */
  rep: CustomEvent<RepEvent>;
  /**
   * The set is over: after a repetition the lifter has walked or been out of the picture for 3 s, or `finish` was called. `detail` is the
   * report over this set alone, the frames since the one before, and is `final`: no later frame changes it. The first kind comes in a task of
   * its own after the frame, so that no `push` waits for the report.
   */
  set: CustomEvent<SetEvent>;
}

/** A repetition as the event `rep` tells it. */
export interface RepEvent extends RepResult {
  /** Whether it is as the set's report has it. */
  final: boolean;
}

/** A set's report as the event `set` tells it. */
export interface SetEvent extends Report {
  /** No later frame changes it. */
  final: true;
}

/**
 * One set in progress. It holds everything pushed (about 1 kB a frame for 33 points) in the module's memory until it is
 * freed: call `free()` when the set is over, or declare it with `using`.
 */
export class Session extends EventTarget {
  /**
   * A session for frames of this set-up.
   * @throws {UnderfootError} `not-initialised`; `bad-input` or `bad-option` naming the field.
   */
  constructor(setup: SessionSetup);

  /**
   * Takes one frame and gives the state after it. A frame that is refused changes nothing.
   * @param t_ms time of the picture, ms, on any clock that does not go back.
   * @param points px; see {@link FramePoints}.
   * @param grey cut-outs of the picture around the feet; without them keypoints alone are read.
   * @throws {UnderfootError} `bad-input` naming the field, `time-order` when the time goes back, `freed`.
   */
  push(t_ms: number, points: FramePoints, grey?: readonly GreyCrop[] | null): Live;

  /**
   * Feet and shins are followed in the pictures from here on, without a pose estimator: for films that show no whole person. Call it
   * before the first frame, then `push(t_ms, null, [picture])` with every frame's whole picture (`side: 'both'`). Called again
   * within a set, in whatever frame, it puts a lost foot right from there on; what was learnt in standing stays. Such a set shows knees, heels, rolls and contact points, not the
   * load share or balance.
   * @param t_ms time of the marked picture, ms.
   * @param joints see {@link Marks}; within about 1 % of the picture's longer side.
   * @param pictures the marked whole picture, and if possible some others of the same second of standing.
   * @throws {UnderfootError} `bad-input` naming the mark, or saying why they can't be followed; `load-failed`, `freed`.
   */
  mark(t_ms: number, joints: Marks['joints'], pictures: readonly GreyCrop[]): Promise<void>;

  /** Where the last frame's picture showed what was marked, px; null before the first, and for a joint that is lost. */
  followed(): Record<MarkedJoint, [number, number] | null> | null;

  /**
   * The feet as the last frame's cut-outs showed them, to be drawn over the picture: a person then sees whether the
   * tracking holds. null for a foot that is not followed: no cut-out came, standing is not known yet, or there was nothing
   * on the foot to follow.
   * @throws {UnderfootError} `freed`.
   */
  feet(): Sides<FootOutline | null>;

  /**
   * Every check in the last frame, for showing while the lifter moves; all null until standing is known. A repetition's
   * own values, smoothed and read where they go furthest, come with it.
   * @throws {UnderfootError} `freed`.
   */
  values(): LiveValues;

  /** The state after the last frame that was taken; also readable after `free`. */
  readonly live: Live;

  /**
   * The report over everything pushed so far.
   * @param options `series: true` adds the curves.
   * @throws {UnderfootError} `freed`.
   */
  report(options?: { series?: boolean }): Report;

  /**
   * The report over this set, told to the listeners of `set` as well: for hosts that know the end before the session does. Of a set whose
   * end was told it is the same report, unless repetitions came after.
   * @throws {UnderfootError} `freed`.
   */
  finish(options?: { series?: boolean }): Report;

  /**
   * Everything pushed so far as a recording: of the grey cut-outs it holds what they said of the feet. `analyze(session.recording(),
   * session.options)` gives the same report.
   */
  recording(): Recording;

  /** The settings that it was made with. */
  readonly options: Options;

  /** Forgets every frame; set-up and settings stay. */
  reset(): void;

  /** Gives the memory back. Calling it again is harmless; any other call afterwards throws `freed`. */
  free(): void;

  /** Whether `free` was called. */
  readonly freed: boolean;

  /** `free`, for `using`. */
  [Symbol.dispose](): void;

  addEventListener<K extends keyof SessionEvents>(
    type: K,
    listener: ((event: SessionEvents[K]) => void) | { handleEvent(event: SessionEvents[K]): void } | null,
    options?: boolean | AddEventListenerOptions,
  ): void;
  addEventListener(type: string, listener: EventListenerOrEventListenerObject | null, options?: boolean | AddEventListenerOptions): void;
}

/**
 * Reads a whole recording at once.
 * @param recording the object, or its JSON text.
 * @param options `series: true` adds the curves.
 * @throws {UnderfootError} `not-initialised`; `bad-input`, `empty`, `time-order` or `bad-option`, naming the field.
 */
export function analyze(recording: Recording | string, options?: Options & { series?: boolean }): Report;

/** The names of all cues, for hosts that say them in words of their own. */
export const cueIds: readonly CueId[];

/** The codes of all remarks. */
export const noteCodes: readonly NoteCode[];

/** The names of all advice on how to film the next set. */
export const filmIds: readonly FilmId[];

/** The layouts that have names, as joint maps. */
export const layouts: Readonly<Record<LayoutName, Readonly<JointMap>>>;

/** The pose estimators whose errors were measured, for `estimator`. */
export const estimators: readonly EstimatorName[];

/** The names of all joints that a joint map may use. */
export const joints: readonly JointName[];

/** What was refused and why. `message` is a sentence such as `frames[12].points[27].x: not a finite number`. */
export class UnderfootError extends Error {
  constructor(code: UnderfootErrorCode, message: string, more?: { field?: string | null; cause?: unknown });
  /** A stable word for the kind of failure. */
  readonly code: UnderfootErrorCode;
  /** Path of the field that was refused, or null when the failure is not about one. */
  readonly field: string | null;
}

/** Kinds of failure. */
export type UnderfootErrorCode = 'not-initialised' | 'load-failed' | 'bad-input' | 'empty' | 'time-order' | 'bad-option' | 'freed' | 'internal';

/* ------------------------------------------------------------------ thresholds and comparison */

/** The fault lines of one check, in its unit. */
export interface Lines {
  /** Below this is a fault; null when nothing is too low. Left out: as it is. */
  low?: number | null;
  /** Above this is a fault; null when nothing is too high. Left out: as it is. */
  high?: number | null;
}

/** Fault lines by check. */
export type Thresholds = Record<CheckName, Lines>;

/** The fault lines of one check, and where they come from. */
export interface SourcedLines extends Required<Lines> {
  /** The published source, or `common practice, no source`. */
  source: string;
  /** Whether they differ from the default. */
  changed: boolean;
}

/** The lines that hold unless changed. Needs `init` or `initLive`. */
export function defaultThresholds(): Record<CheckName, SourcedLines>;

/** How one check on one side changed. */
export interface Change {
  /** Which check. */
  check: CheckName;
  /** The lifter's side; null for checks without sides. */
  side: 'left' | 'right' | null;
  /** Nearer to an ordinary squat by more than chance, farther, or within what chance can do. */
  outcome: 'better' | 'worse' | 'no-real-change';
  /** Mean of the earlier days, in the check's unit. */
  earlier: number;
  /** Mean of the last day, same unit. */
  later: number;
  /** Later less earlier, same unit. */
  difference: number;
  /** Minimal detectable change (95 %), same unit: what a difference must exceed. */
  mdc95: number;
  /** What the spread between days rests on. */
  basis: 'own-days' | 'published-days' | 'assumed-days';
  /** The camera stood elsewhere. */
  view_changed: boolean;
  /** The check's line lay elsewhere for some earlier report: values are compared, not verdicts. */
  lines_changed: boolean;
  /** Some report had no `day`. */
  undated: boolean;
  /** The change in one sentence. */
  sentence: string;
  /** What the judgement rests on, and what weakens it, in plain sentences. */
  basis_sentence: string;
}

/**
 * The last report against those before it, for every check and side that both saw. Needs `init`; fetches its part of the module.
 * @param reports the same lifter's reports, the earliest first. A report may carry `day`, a whole number that reports of one
 * day share; those without it count as one day. The last report's lines say which way is better.
 * @throws {UnderfootError} `not-initialised`; `empty` for fewer than two reports, `bad-input` for what is no report.
 */
export function compare(reports: readonly (Report & { day?: number })[]): Promise<Change[]>;
