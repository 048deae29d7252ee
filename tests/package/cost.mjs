// What a frame costs, beside the plain way: the same joint angles on the image, each point smoothed by a 1 Euro filter.

const angle = (p, a, b, c) => {
  const [ux, uy, vx, vy] = [p[a] - p[b], p[a + 1] - p[b + 1], p[c] - p[b], p[c + 1] - p[b + 1]];
  return Math.abs(Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy));
};

/** Hip, knee and ankle of both sides in blazepose-33: shoulder-hip-knee, hip-knee-ankle, knee-ankle-toe. */
const ANGLES = [[11, 23, 25], [23, 25, 27], [25, 27, 31], [12, 24, 26], [24, 26, 28], [26, 28, 32]].map((points) => points.map((i) => 2 * i));

/** Microseconds a frame of both, and of ours with everything that a set costs. */
export function measure(u, OneEuroFilter, recording) {
  const { frames, ...setup } = recording;
  const flat = frames.map(({ t_ms, points }) => ({ t_ms, points: Float32Array.from(points.flat()) }));
  // Long runs, because a browser's clock is coarse.
  const rounds = 30;
  const plain = [];
  const pushed = [];
  let sum = 0;
  for (let round = 0; round < rounds; round++) {
    const filters = Array.from({ length: 66 }, () => new OneEuroFilter(30, 1, 0.01, 1));
    const smooth = new Float64Array(66);
    let start = performance.now();
    for (const { t_ms, points } of flat) {
      for (let i = 0; i < 33; i++) {
        smooth[2 * i] = filters[2 * i].filter(points[3 * i], t_ms / 1000);
        smooth[2 * i + 1] = filters[2 * i + 1].filter(points[3 * i + 1], t_ms / 1000);
      }
      for (const [a, b, c] of ANGLES) sum += angle(smooth, a, b, c);
    }
    plain.push((performance.now() - start) / flat.length);

    const session = new u.Session(setup);
    // Standing is fitted once, in the first seconds; the frames of the first descent and ascent are the ordinary ones.
    const from = flat.findIndex(({ t_ms }) => t_ms > 2500);
    const to = flat.findIndex(({ t_ms }) => t_ms > 4200);
    for (const { t_ms, points } of flat.slice(0, from)) session.push(t_ms, points);
    start = performance.now();
    for (let i = from; i < to; i++) session.push(flat[i].t_ms, flat[i].points);
    pushed.push((performance.now() - start) / (to - from));
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
  const middle = (list) => 1000 * list.sort((a, b) => a - b)[list.length >> 1];
  return { plain_us: middle(plain), push_us: middle(pushed), whole_us: 1000 * whole, worst_ms: worst, report_ms, sum };
}
