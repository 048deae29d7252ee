// @ts-check
/** Shapes that the page passes around; the package's own types describe the report in full. */

/** @typedef {import('../pkg/index.js').Report} Report */
/** @typedef {import('../pkg/index.js').Recording} Recording */

/**
 * What the lifter said before the set.
 * @typedef {object} Before
 * @property {string} name who it is for, of their own choosing
 * @property {number | null} height_m
 * @property {number | null} bar_kg
 * @property {number | null} body_kg
 * @property {'back' | 'front' | 'overhead' | 'goblet' | 'none'} carry
 * @property {'' | 'barefoot' | 'flat' | 'raised-heel'} footwear
 * @property {boolean} hurts
 */

/**
 * A finished set as the result view and the records take it.
 * @typedef {object} KeptSet
 * @property {string} id
 * @property {string} name
 * @property {string} made ISO 8601 time
 * @property {string} [filmed] ISO 8601 time, when that was another: from a video's file, or the reader's own word
 * @property {string} source in words, such as `the camera`
 * @property {Recording} recording
 * @property {Report} report
 * @property {string} made_with version of the package that made the report
 * @property {string} [note] the lifter's own
 * @property {string} [with] id of the set that was filmed with it from another side
 * @property {Record<string, { low?: number, high?: number }>} [thresholds] fault lines that a coach changed for it
 * @property {readonly string[]} [checks] what the coach of a check wants to look at
 * @property {boolean} [hurts] something hurt before this set: the advice to stop stays at its head
 */

/**
 * What was filmed of a set.
 * @typedef {object} Film
 * @property {Blob} file
 * @property {number} from_ms the recording's time at which it begins
 * @property {import('../figure/tracked-foot.js').Feet[]} [feet] how the feet were followed in each frame of the recording
 */

export {};
