import type { Frame, JointMap, Recording } from './index.js';

/** A small recording: keypoints of a rendered figure, three squats seen from its left, the heels leave the floor. */
export const example: Recording & { layout: JointMap; frames: (Frame & { points: [number, number, number][] })[] };
