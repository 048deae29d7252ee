// The element's labels in English: a table that another language replaces (words.js), and how it is read.

export const en = Object.freeze({
  lang: 'en',
  result: 'Result',
  check: 'Check',
  rep: 'Rep {n}',
  shallow: 'shallow',
  tableName: 'Repetitions by check and side',
  caption: 'How far each check goes in each repetition, ± its standard error: knees against the foot, the rest against quiet standing.',
  noReps: 'No whole repetition was found: begin and end each one standing tall, with the feet in the picture.',
  one: '1 repetition',
  many: '{n} repetitions',
  checks: {
    heel_lift_mm: 'Heel lift',
    knee_in_deg: 'Knee in',
    foot_roll_deg: 'Foot roll',
    forward_pct: 'Weight forward',
    load_left_pct: 'Weight on the left foot',
  },
  units: { heel_lift_mm: 'mm', knee_in_deg: '°', foot_roll_deg: '°', forward_pct: '% of foot', load_left_pct: '%' },
  sides: { left: 'left', right: 'right' },
  verdicts: { clear: 'clear', unsure: 'unsure', fault: 'fault', unseen: 'not seen' },
  phases: {
    searching: 'Stand still for a second, the whole body in the picture',
    standing: 'Standing',
    down: 'Going down',
    bottom: 'At the bottom',
    up: 'Coming up',
  },
  why: {
    layout: 'these keypoints have no points for it',
    view: 'can’t be judged from this side',
    missing: 'the points were hidden or out of the picture',
    standing: 'no quiet standing to read it against',
    noise: 'tracking was too shaky',
  },
});

const SIDED = ['heel_lift_mm', 'knee_in_deg', 'foot_roll_deg'];

/** Every check and side as one row. */
export const rows = (words) =>
  Object.keys(words.checks).flatMap((key) =>
    (SIDED.includes(key) ? ['left', 'right'] : [null]).map((side) => ({
      unit: words.units[key],
      name: side ? `${words.checks[key]}, ${words.sides[side]}` : words.checks[key],
      of: (rep) => (side ? rep[key][side] : rep[key]),
    })),
  );

/** A whole number with a true minus sign. */
export function whole(value) {
  const text = Math.abs(value).toFixed(0);
  return value < 0 && text !== '0' ? `−${text}` : text;
}

export const numbered = (text, n) => text.replace('{n}', n);

export const repetitions = (words, n) => (n === 1 ? words.one : numbered(words.many, n));
