// What a frame costs, beside the plain way: the same joint angles on the image, each point smoothed by a 1 Euro filter.

const angle = (p, a, b, c) => {
  const [ux, uy, vx, vy] = [p[a] - p[b], p[a + 1] - p[b + 1], p[c] - p[b], p[c + 1] - p[b + 1]];
  return Math.abs(Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy));
};

/** Hip, knee and ankle of both sides in blazepose-33: shoulder-hip-knee, hip-knee-ankle, knee-ankle-toe. */
const ANGLES = [
  [11, 23, 25],
  [23, 25, 27],
  [25, 27, 31],
  [12, 24, 26],
  [24, 26, 28],
  [26, 28, 32],
].map((points) => points.map((i) => 2 * i));

/**
 * Rounds, each of the plain way, ours, and reading ours: side by side, so that whatever else the machine does meets all
 * three, and so many that the engine has optimised all of them. A browser's clock ticks every 100 us, so a round takes the
 * frames of so many sets that a tick is 2 % of it.
 */
const ROUNDS = 25;
const SETS = 40;
/** Of each, the round that so many were quicker than: the quickest of all may have been helped by the clock. */
const QUICKER = 2;

/** Microseconds a frame of each, and of ours with everything that a set costs. */
export function measure(u, OneEuroFilter, recording) {
  const { frames, ...setup } = recording;
  const flat = frames.map(({ t_ms, points }) => ({ t_ms, points: Float32Array.from(points.flat()) }));
  // Standing is fitted once, in the first seconds; the frames of the first descent and ascent are the ordinary ones.
  const from = flat.findIndex(({ t_ms }) => t_ms > 2500);
  const to = flat.findIndex(({ t_ms }) => t_ms > 4200);
  let sum = 0;
  const timed = (sets, frame) => {
    const start = performance.now();
    for (const set of sets) for (let i = from; i < to; i++) frame(set, flat[i]);
    return (1000 * (performance.now() - start)) / (sets.length * (to - from));
  };
  const several = (one) => Array.from({ length: SETS }, one);
  const plainly = ({ filters, smooth }, { t_ms, points }) => {
    for (let i = 0; i < 33; i++) {
      smooth[2 * i] = filters[2 * i].filter(points[3 * i], t_ms / 1000);
      smooth[2 * i + 1] = filters[2 * i + 1].filter(points[3 * i + 1], t_ms / 1000);
    }
    for (const [a, b, c] of ANGLES) sum += angle(smooth, a, b, c);
  };
  const started = (one, frame) => {
    for (let i = 0; i < from; i++) frame(one, flat[i]);
    return one;
  };
  const filters = () => ({ filters: Array.from({ length: 66 }, () => new OneEuroFilter(30, 1, 0.01, 1)), smooth: new Float64Array(66) });
  const push = (session, { t_ms, points }) => session.push(t_ms, points);
  const read = (session) => (sum += session.values().forward_pct?.value ?? 0);
  const took = { plain: [], push: [], read: [] };
  for (let round = 0; round < ROUNDS; round++) {
    const sets = several(() => started(filters(), plainly));
    const sessions = several(() => started(new u.Session(setup), push));
    took.plain.push(timed(sets, plainly));
    took.push.push(timed(sessions, push));
    took.read.push(timed(sessions, read));
    for (const session of sessions) session.free();
  }
  const quick = (list) => list.sort((a, b) => a - b)[QUICKER];

  // The frame in which standing is found, with its fit: the quickest of a few, all of them optimised by now.
  let standing_ms = Infinity;
  for (let set = 0; set < 5; set++) {
    const session = new u.Session(setup);
    let longest = 0;
    for (let i = 0; i < from; i++) {
      const before = performance.now();
      push(session, flat[i]);
      longest = Math.max(longest, performance.now() - before);
    }
    standing_ms = Math.min(standing_ms, longest);
    session.free();
  }

  const session = new u.Session(setup);
  let worst = 0;
  const start = performance.now();
  for (const { t_ms, points } of flat) {
    const before = performance.now();
    session.push(t_ms, points);
    worst = Math.max(worst, performance.now() - before);
  }
  const whole = (performance.now() - start) / flat.length;
  const before = performance.now();
  session.report();
  const report_ms = performance.now() - before;
  session.free();
  const push_us = quick(took.push);
  return { plain_us: quick(took.plain), push_us, values_us: push_us + quick(took.read), whole_us: 1000 * whole, standing_ms, worst_ms: worst, report_ms, sum };
}
