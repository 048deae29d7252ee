// The trade's words for what a report holds.

export const CHECKS = [
  { key: 'heel_lift_mm', label: 'Heel lift', unit: 'mm', sided: true },
  { key: 'knee_in_deg', label: 'Knee in', unit: '°', sided: true },
  { key: 'foot_roll_deg', label: 'Foot roll', unit: '°', sided: true },
  { key: 'forward_pct', label: 'Weight forward', unit: '% of foot', sided: false },
  { key: 'load_left_pct', label: 'Weight on the left foot', unit: '%', sided: false },
];

export const VERDICTS = { clear: 'clear', unsure: 'unsure', fault: 'fault', unseen: 'not seen' };

export const PHASES = {
  searching: 'Stand still for a second, the whole body in the picture',
  standing: 'Standing',
  down: 'Going down',
  bottom: 'At the bottom',
  up: 'Coming up',
};

const WHY = {
  layout: 'these keypoints have no points for it',
  view: 'can’t be judged from this side',
  missing: 'the points were hidden or out of the picture',
  standing: 'no quiet standing to read it against',
  noise: 'tracking was too shaky',
};

export const whyUnseen = (why) => WHY[why] ?? 'not seen';

/** Every check and side as one row. */
export const rows = () =>
  CHECKS.flatMap((check) =>
    (check.sided ? ['left', 'right'] : [null]).map((side) => ({
      unit: check.unit,
      name: side ? `${check.label}, ${side}` : check.label,
      of: (rep) => (side ? rep[check.key][side] : rep[check.key]),
    })),
  );

/** A whole number with a true minus sign. */
export function whole(value) {
  const text = Math.abs(value).toFixed(0);
  return value < 0 && text !== '0' ? `−${text}` : text;
}

export const repetitions = (n) => (n === 1 ? '1 repetition' : `${n} repetitions`);
