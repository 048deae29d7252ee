// Hand-kept declarations. Units: px in the recording's image, x right, y down; ms; m; kg; degrees.

/** Names of the keypoint layouts. */
export const layouts: readonly ['blazepose-33', 'halpe-26', 'body-25', 'coco-wholebody-133', 'coco-17'];
export type LayoutName = (typeof layouts)[number];
/** Where each joint sits in one person's list, by joint name (`left_hip`, `right_big_toe`, ...). */
export interface JointMap {
  /** Points in one person's list. */
  count: number;
  joints: Record<string, number>;
}
export type Side = 'left' | 'right';
export type CheckName = 'heel_lift_mm' | 'knee_in_deg' | 'foot_roll_deg' | 'forward_pct' | 'load_left_pct';

/** What is known about a recording beside its frames. */
export interface Setup {
  layout: LayoutName | JointMap;
  /** px */
  image: { width: number; height: number };
  /** Stature in m, 0.8 to 2.6, if known. */
  lifter?: { height_m?: number };
  /** Masses in kg. */
  load?: { body_kg?: number; bar_kg?: number; carry?: 'back' | 'front' | 'overhead' | 'goblet' | 'none' };
  /** `hfov_deg`: field of view of the picture's width. `mirrored`: the picture is flipped left-right. `pitch_deg` + = looking up. */
  camera?: { hfov_deg?: number; mirrored?: boolean; pitch_deg?: number; roll_deg?: number };
  footwear?: 'barefoot' | 'flat' | 'raised-heel';
  /** Name of the pose estimator, to pick its error profile, such as `mediapipe-pose`. */
  estimator?: string;
}

/** x px, y px, score 0 to 1 (below about 0.3 is unseen). */
export type Point = [x: number, y: number, score?: number];
export interface Frame {
  /** ms; must not go back. */
  t_ms: number;
  /** One person's points in the layout's order; null when nobody was found. */
  points?: (Point | null)[] | null;
  /** Everybody found, when several were. */
  people?: (Point | null)[][];
}
export interface Recording extends Setup {
  frames: Frame[];
}

export interface Options {
  /** Put the curves into the report. */
  series?: boolean;
  /** The lifter said that something hurts: the advice to stop comes ahead of any cue. */
  hurts?: boolean;
  /** Changed fault lines, by check, in the check's unit. */
  thresholds?: Thresholds;
}
/** `low` and `high` fault lines of a check, in its unit; what is left out stays as it is. */
export type Thresholds = Partial<Record<CheckName, { low?: number; high?: number }>>;

export type Verdict = 'clear' | 'unsure' | 'fault' | 'unseen';
/** One check's result in one repetition. */
export interface Mark {
  /** Largest departure from standing (load share: absolute), in the check's unit; null when unseen. */
  value: number | null;
  /** Its standard error, in the check's unit. */
  sd: number | null;
  /** When, ms. */
  at_ms: number | null;
  /** 0 (none) to 100; null when unseen. */
  score: number | null;
  verdict: Verdict;
  evidence: 'keypoints' | 'picture' | 'both' | null;
  /** Where in the lift it peaked: 0 start, 1 bottom, 2 end. */
  peak_phase: number | null;
  /** Where in the lift it set in, same scale. */
  onset: number | null;
  /** Why it was not seen. */
  why?: 'layout' | 'view' | 'missing' | 'standing' | 'noise';
  /** The check's fault line was changed. */
  threshold_changed?: true;
}
export interface Sides<T> {
  left: T;
  right: T;
}
export interface RepResult {
  /** From 1. */
  index: number;
  /** ms */
  start_ms: number;
  /** ms */
  bottom_ms: number;
  /** ms */
  end_ms: number;
  /** Pelvis drop as a fraction of its standing height; null when the hips are unseen. */
  depth: number | null;
  shallow: boolean;
  /** Seconds. */
  tempo: { down_s: number; pause_s: number; up_s: number };
  /** mm, + = heel higher than in standing. */
  heel_lift_mm: Sides<Mark>;
  /** Degrees, + = inside the foot's line. */
  knee_in_deg: Sides<Mark>;
  /** Degrees, + = rolled inward. */
  foot_roll_deg: Sides<Mark>;
  /** % of foot length, + = toward the toes. */
  forward_pct: Mark;
  /** Left foot's share, %, 50 = even. */
  load_left_pct: Mark;
}
export interface Report {
  schema: 1;
  /** Where the camera stands, seen from the lifter: degrees, 0 in front, +90 on the lifter's left, 180 behind; m. */
  view: { azimuth_deg: number; azimuth_sd_deg: number; distance_m: number; name: string } | null;
  /** Quiet standing: ms, mm, degrees (+ = turned out), m. */
  standing: {
    from_ms: number;
    to_ms: number;
    stance_width_mm: number;
    stance_width_mm_sd: number;
    toe_out_deg: Sides<number>;
    toe_out_deg_sd: Sides<number>;
    height_m: number;
    height_m_sd: number;
  } | null;
  reps: RepResult[];
  finding: {
    kind: 'forward' | 'inward' | 'forward-inward' | 'outward' | 'sideways' | 'none' | 'not-enough-seen';
    side: Side | 'both' | null;
    /** Repetitions (from 1) that show it. */
    reps: number[];
    /** Where in the lift it sets in: 0 start, 1 bottom, 2 end. */
    onset: number | null;
    /** Change per repetition in the check's unit, and its standard error. */
    trend: { per_rep: number; sd: number; growing: boolean } | null;
    /** 0 to 1. */
    confidence: number;
    resting_shape: string[];
    sentence: string;
  };
  cue: {
    id: string;
    side: Side | 'both' | null;
    text: string;
    why: string[];
    film_next: string | null;
    look_again_days: number;
    cautions: string[];
  };
  /** Plain sentences: what could not be seen and why. */
  notes: string[];
  series?: Series;
}
type Curve = (number | null)[];
export type Contact = 'planted' | 'light' | 'lifted' | 'unseen';
/** Curves over time; every list has the length of `t_ms`, null where unseen. */
export interface Series {
  /** ms */
  t_ms: number[];
  heel_lift_mm: Sides<Curve>;
  knee_in_deg: Sides<Curve>;
  foot_roll_deg: Sides<Curve>;
  forward_pct: Curve;
  load_left_pct: Curve;
  /** Standard errors, same units. */
  sd: {
    heel_lift_mm: Sides<Curve>;
    knee_in_deg: Sides<Curve>;
    foot_roll_deg: Sides<Curve>;
    forward_pct: Curve;
    load_left_pct: Curve;
  };
  /** Geometry, not pressure. */
  contacts: Sides<{ heel: Contact[]; big_toe: Contact[]; small_toe: Contact[] }>;
}

/** Standard errors to be expected at the bottom of a deep squat, in each check's unit; null = cannot be seen from here. */
export interface CanSee {
  view: NonNullable<Report['view']>;
  heel_lift_mm: Sides<number | null>;
  knee_in_deg: Sides<number | null>;
  foot_roll_deg: Sides<number | null>;
  forward_pct: number | null;
  load_left_pct: number | null;
}
export interface Live {
  phase: 'searching' | 'standing' | 'down' | 'bottom' | 'up';
  /** Repetitions finished. */
  reps: number;
  /** Standing has been measured: values can be read. */
  standing_known: boolean;
  /** Known with standing. */
  can_see: CanSee | null;
  /** Camera's bearing, degrees; known with standing. */
  azimuth_deg: number | null;
  /** The repetition that became final with this frame. */
  finished: RepResult | null;
}

/** A crop of the picture's luma around a foot. */
export interface Grey {
  side: Side;
  /** Picture px of the crop's top-left pixel. */
  x: number;
  y: number;
  /** Crop px. */
  width: number;
  height: number;
  /** Luma, row by row. */
  data: Uint8Array | Uint8ClampedArray;
  /** Bytes a row; `width` when left out. */
  stride?: number;
  /** Recording's px per crop px; 1 when left out. */
  scale?: number;
}

/**
 * One set in progress. To avoid holding the module's memory, call `free()` when done.
 * Events: `rep` (detail: RepResult) and, after `finish()`, `set` (detail: Report).
 */
export class Session extends EventTarget {
  /** @throws UnderfootError `not-initialised`, `bad-input`, `bad-option` */
  constructor(options: Setup & { hurts?: boolean; thresholds?: Thresholds });
  /** The state after the last frame. */
  readonly live: Live;
  /**
   * Takes one frame.
   * @param t_ms ms; must not go back
   * @param points flat x, y, score numbers (every person's one after the other), a list of points, a list of people, or null
   * @param grey crops around the feet, if the host has the picture
   * @throws UnderfootError `bad-input`, `time-order` (the frame is ignored, the session goes on), `freed`
   */
  push(t_ms: number, points: ArrayLike<number> | (Point | null)[] | (Point | null)[][] | null, grey?: Grey[]): Live;
  /** The report so far. */
  report(options?: { series?: boolean }): Report;
  /** The report, told to the listeners of `set` as well. */
  finish(options?: { series?: boolean }): Report;
  /** Everything pushed so far; `analyze` gives the same report for it. */
  recording(): Recording;
  /** Forgets every frame; the set-up stays. */
  reset(): void;
  /** Gives the module's memory back. Safe to call twice. */
  free(): void;
  [Symbol.dispose](): void;
}

/**
 * Loads the module. May be called twice.
 * @param source nothing (the file beside this one), a URL, a Response, bytes or a compiled module
 */
export function init(source?: string | URL | Request | Response | BufferSource | WebAssembly.Module | Promise<Response>): Promise<void>;
/** Loads the module from bytes or a compiled module, for Node and tests. */
export function initSync(module: BufferSource | WebAssembly.Module): void;
/** Reads a whole recording. @throws UnderfootError whose message names the field, as `frames[12].points[27].x: not a finite number` */
export function analyze(recording: Recording, options?: Options): Report;
/** The package's version. */
export function version(): string;
/** `code` is stable: bad-input, bad-option, empty, time-order, not-initialised, freed, internal. */
export class UnderfootError extends Error {
  readonly code: string;
  constructor(code: string, message: string);
}
