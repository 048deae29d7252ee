import type { Frame, JointMap, Recording } from './index.js';

/** A small recording: keypoints of a rendered figure, three squats seen from the front, the knees come in. */
export const example: Recording & { layout: JointMap; frames: (Frame & { points: [number, number, number][] })[] };
