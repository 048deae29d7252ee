// @ts-check
/** A committed close-up, and where its joints are. */
import { inProject } from './harness.mjs';

/** One squat of a rendered lifter from the front and the beginning of another; tests/data/clips/README.md. */
export const CLOSE = inProject('tests/data/clips/close-front.webm');
/** Where its joints are at 0.9 s: the renderer's own projections, px of 640 x 360. */
export const TRUE = /** @type {const} */ ({
  left_knee: [404.7, 107.0],
  left_ankle: [412.6, 267.8],
  left_heel: [401.4, 284.5],
  left_big_toe: [449.1, 307.8],
  left_small_toe: [460.8, 303.2],
  right_knee: [280.9, 102.8],
  right_ankle: [261.9, 264.5],
  right_heel: [268.6, 281.8],
  right_big_toe: [234.9, 303.8],
  right_small_toe: [220.2, 298.7],
});
