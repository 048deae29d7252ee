// Stable names in reports, for hosts that say them in words of their own. A test holds these lists against the module's.

/** See index.d.ts. */
export const cueIds = Object.freeze([
  'heel-print',
  'stretch-the-mat',
  'heel-print-and-stretch',
  'toe-print',
  'carrying-toe-print',
  'tape-line',
  'keep',
  'film-again',
  'stop',
]);

/** See index.d.ts. */
export const noteCodes = Object.freeze([
  'also-seen',
  'other-heel',
  'slip',
  'too-close',
  'not-from-this-side',
  'hidden',
  'shaky',
  'no-points',
  'no-standing',
  'shallow',
  'one-repetition',
  'shoes',
  'raised-heel',
  'lines-changed',
  'geometry',
  'slow-lifting',
  'foot-moved',
  'foot-turned',
  'feet-anew',
  'no-person',
  'turned',
  'steps',
  'lunges',
  'kneeling',
  'aside',
  'bends',
  'jumps',
  'tiptoe',
  'reaching',
  'too-quick',
  'left-out',
  'upside-down',
  'quarter-turn',
  'phone-knocked',
  'phone-drifted',
  'out-of-sight',
  'unknown-fields',
  'unknown-estimator',
]);

/** See index.d.ts. */
export const filmIds = Object.freeze([
  'side-on',
  'other-side',
  'face-the-phone',
  'stand-still',
  'in-the-picture',
  'steady',
  'foot-points',
  'more-repetitions',
  'deeper',
]);
