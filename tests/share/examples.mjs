// Invented: a coach, a client, and what passes between them.
export const exampleCheck = {
  checks: ['heel_lift_mm', 'knee_in_deg', 'foot_roll_deg'],
  views: ['front', 'left'],
  reps: 5,
  load: '60 % of your best',
  thresholds: { knee_in_deg: { high: 6 } },
  cue: 'Push the floor away through the whole foot',
  message: 'Same shoes as last week please. Film from the front, then from your left.',
  coach: 'Coach R',
  ref: 305_419_896,
};

/** A moving stick of points: enough to pack, not a squat. @param {number} frames @param {number} people */
export function exampleRecording(frames = 90, people = 1) {
  /** The left foot is followed but for a few frames, the right one now and then. */
  const feet = (i) => {
    const foot = (k) => ({
      heel_lift_mm: [Math.sin(i / 9) * 12 + k, 1.5],
      foot_roll_deg: [Math.cos(i / 8) * 4, 2.25],
      contacts_px: [[300.5 + k, 900 - Math.sin(i / 9) * 9], [340 + k, 930], k ? null : [310, 935]],
      ...(i > 20 && !k && i < 60 ? { set_by: i < 40 ? [30, -4.5, 1] : [30, -4.5, 11] } : {}),
    });
    return i % 13 === 5 ? {} : { feet: { left: foot(0), ...(i % 3 ? { right: foot(60) } : {}) } };
  };
  const person = (i, p) =>
    Array.from({ length: 26 }, (_, j) => [300 + 40 * p + 7 * j + Math.sin(i / 9 + j) * 3, 200 + 21 * j + Math.cos(i / 7) * 30, 0.5 + (j % 5) / 10]);
  return {
    layout: 'halpe-26',
    image: { width: 720, height: 1280 },
    lifter: { height_m: 1.74 },
    camera: { mirrored: false },
    frames: Array.from({ length: frames }, (_, i) =>
      people === 1
        ? { t_ms: i * 33.3, points: i % 31 === 30 ? null : person(i, 0), ...feet(i) }
        : { t_ms: i * 33.3, people: Array.from({ length: people }, (_, p) => person(i, p)) },
    ),
  };
}

const mark = (value, verdict) => ({ value, sd: 1.2, at_ms: 1200, score: 40, verdict, evidence: 'keypoints' });
const unseen = { value: null, sd: null, at_ms: null, score: null, verdict: 'unseen', evidence: null };

/** A report in the contract's form. */
export function exampleReport(reps = 3) {
  return {
    schema: 1,
    view: { azimuth_deg: 2.5, azimuth_sd_deg: 1, distance_m: 2.9, name: 'front' },
    standing: null,
    reps: Array.from({ length: reps }, (_, i) => ({
      index: i + 1,
      start_ms: i * 4000,
      bottom_ms: i * 4000 + 1500,
      end_ms: i * 4000 + 3000,
      depth: 0.5,
      shallow: false,
      tempo: { down_s: 1.5, pause_s: 0.2, up_s: 1.3 },
      heel_lift_mm: { left: unseen, right: unseen },
      knee_in_deg: { left: mark(8.25 + i, 'fault'), right: mark(2, 'clear') },
      foot_roll_deg: { left: mark(3, 'unsure'), right: unseen },
      forward_pct: unseen,
      load_left_pct: mark(51, 'clear'),
    })),
    finding: { kind: 'inward', side: 'left', reps: [1, 2, 3], onset: 0.6, trend: null, confidence: 0.9, resting_shape: [], sentence: 'x' },
    cue: { id: 'spread', side: 'left', text: 'Screw the left foot into the floor', why: [], film_next: null, look_again_days: 7, cautions: [] },
    notes: [],
  };
}
