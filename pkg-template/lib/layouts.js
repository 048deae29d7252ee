// Names that recordings use: where each joint sits in a person's list of points, in each layout that has a name, and the pose estimators
// whose errors were measured. Tests hold both against the module's.

const BODY = [
  'nose',
  'left_eye',
  'right_eye',
  'left_ear',
  'right_ear',
  'left_shoulder',
  'right_shoulder',
  'left_elbow',
  'right_elbow',
  'left_wrist',
  'right_wrist',
  'left_hip',
  'right_hip',
  'left_knee',
  'right_knee',
  'left_ankle',
  'right_ankle',
];
const FEET = ['left_heel', 'right_heel', 'left_big_toe', 'right_big_toe', 'left_small_toe', 'right_small_toe'];
const COCO = BODY.map((_, i) => i);

const layout = (count, body, feet = []) =>
  Object.freeze({ count, joints: Object.freeze(Object.fromEntries([...body.map((at, i) => [BODY[i], at]), ...feet.map((at, i) => [FEET[i], at])])) });

/** See index.d.ts. */
export const joints = Object.freeze([...BODY, ...FEET]);

/** See index.d.ts. */
export const layouts = Object.freeze({
  'blazepose-33': layout(33, [0, 2, 5, 7, 8, 11, 12, 13, 14, 15, 16, 23, 24, 25, 26, 27, 28], [29, 30, 31, 32]),
  'halpe-26': layout(26, COCO, [24, 25, 20, 21, 22, 23]),
  'body-25': layout(25, [0, 16, 15, 18, 17, 5, 2, 6, 3, 7, 4, 12, 9, 13, 10, 14, 11], [21, 24, 19, 22, 20, 23]),
  'coco-wholebody-133': layout(133, COCO, [19, 22, 17, 20, 18, 21]),
  'coco-17': layout(17, COCO),
});

/** See index.d.ts. */
export const estimators = Object.freeze(['mediapipe-pose', 'optical-markers']);
