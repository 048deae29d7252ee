import type { EstimatorName, JointMap, LayoutName } from './index.js';

/** How an estimator writes its points. */
export interface AdapterOptions {
  /** Order of the points: 17, 25, 26, 33 or 133 of them by name, or a joint map. */
  layout: LayoutName | JointMap;
  /** Size of the picture that the estimator saw, px. Needed with `normalised` and `flipped`; a session of another size refuses the points. */
  image?: { width: number; height: number };
  /** x and y are fractions (0 to 1) of the picture's width and height, each its own. Default false: px. */
  normalised?: boolean;
  /**
   * Meaning of the numbers of a point in lists of numbers: `x`, `y`, `z`, `score`, and `-` for a number to skip, each word once but `-`.
   * Default `'x y score'`.
   */
  order?: 'x y score' | 'x y z score' | 'y x score' | 'x y' | 'y x' | (string & {});
  /** The estimator's name, for a session whose set-up names none: it picks the errors that its points are known for. */
  estimator?: EstimatorName | (string & {}) | undefined;
  /** What scores are: 0 to 1, logits (any number, 0 = even), 0 to 100, or to be ignored. Default `'probability'`. */
  scores?: 'probability' | 'logit' | 'percent' | 'none';
  /**
   * x is counted from the right edge although left and right are named as the lifter's own. Default false.
   * When the estimator saw a flipped picture, and so calls the lifter's right left, leave this and set the session's `camera.mirrored`.
   */
  flipped?: boolean;
}

/**
 * Everybody found: for each x px, y px, score 0 to 1 of every point in the layout's order. `Session.push` takes it as it is.
 * `source` tells the session which estimator it came from and of which picture.
 */
export type People = Float64Array[] & {
  readonly source: { readonly estimator?: string; readonly image?: { readonly width: number; readonly height: number } };
};

/**
 * A function from an estimator's output to people.
 * It takes lists of numbers, of lists, of `{ x, y, score | visibility | confidence }`, for one or several people, also below
 * `landmarks`, `poseLandmarks`, `people`, `predictions`, `instances`, `poses`, and `keypoints` with `keypoint_scores` beside them.
 * @throws {UnderfootError} `bad-input` or `bad-option` naming what is missing or unknown; the function throws `bad-input` when points are
 * too many or too few, when numbers of a point are more than `order` names, and when pixels come where fractions were promised.
 */
export function adapter(options: AdapterOptions): (output: unknown) => People;

/**
 * MediaPipe: the result of `PoseLandmarker` or of the older `Pose`, or one of their lists of 33 landmarks (fractions of the picture).
 * Layout `blazepose-33`, estimator `mediapipe-pose`. Nobody found (no landmarks, null or undefined) gives nobody.
 * @param image size of the picture, px.
 */
export function fromMediaPipe(output: unknown, image: { width: number; height: number }): People;

/** `estimatePoses` of TensorFlow.js: a list of `{ keypoints: [{ x, y, score }] }` in px. Layout `coco-17`, or `blazepose-33`, which is
 * taken for `mediapipe-pose`. */
export function fromPoses(output: unknown, layout?: LayoutName): People;

/** OpenPose's JSON output: `{ people: [{ pose_keypoints_2d: [x, y, score, ...] }] }` in px. Layout `body-25`, estimator `openpose`. */
export function fromOpenPose(output: unknown): People;

/** MMPose and others: instances with `keypoints` and `keypoint_scores`, or COCO's flat `keypoints`, in px. Default layout `halpe-26`. */
export function fromInstances(output: unknown, layout?: LayoutName, estimator?: EstimatorName | (string & {})): People;

/** Raw output of single-person models: y, x, score in fractions of the picture. Default layout `coco-17`. */
export function fromYxScore(data: unknown, image: { width: number; height: number }, layout?: LayoutName, estimator?: EstimatorName | (string & {})): People;
