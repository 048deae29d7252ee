// Feet and shins followed from marks, as the package gives them: two drawn boxes and bars that lean by a formula of this file's own.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { before, test } from 'node:test';
import { pathToFileURL } from 'node:url';

let u;
before(async () => {
  u = await import(pathToFileURL(join(process.env.UNDERFOOT_PKG, 'index.js')).href);
  await u.init();
});

const [WIDTH, HEIGHT] = [480, 360];
/** Marks of two straight legs seen from the front, px. */
const MARKS = {};
for (const [side, sign] of [
  ['left', 1],
  ['right', -1],
]) {
  const at = { knee: [60, 130], ankle: [60, 275], heel: [58, 288], big_toe: [72, 306], small_toe: [84, 300] };
  for (const [part, [x, y]] of Object.entries(at)) MARKS[`${side}_${part}`] = [WIDTH / 2 + sign * x, y];
}

/** The picture with both shins' tops moved outward by so many px. */
function picture(out = 0) {
  const data = new Uint8Array(WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++) {
    for (let x = 0; x < WIDTH; x++) {
      const rough = ((x * 7919 + y * 104729) >> 3) % 23;
      let grey = y > 270 ? 90 + rough : 180 + (rough >> 1);
      const dx = Math.abs(x - WIDTH / 2);
      const axis = 60 + (out * (275 - y)) / 145;
      if (y > 100 && y < 275 && Math.abs(dx - axis) < 14 + (y < 200 ? 6 : 0)) grey = 70 + (rough >> 2);
      if (y >= 272 && y < 310 && dx > 46 && dx < 90) grey = 40 + (((x >> 2) * 31 + (y >> 2) * 57) % 150);
      data[y * WIDTH + x] = grey;
    }
  }
  return { side: 'both', x: 0, y: 0, width: WIDTH, height: HEIGHT, data };
}

const session = () => new u.Session({ layout: 'blazepose-33', image: { width: WIDTH, height: HEIGHT } });

test('marked shins are followed, and the recording holds where they were', async () => {
  const one = session();
  assert.equal(one.followed(), null);
  await one.mark(0, MARKS, [picture()]);
  for (let i = 0; i < 20; i++) one.push(i * 33, null, [picture(Math.min(16, i))]);
  const seen = one.followed();
  assert.ok(Math.abs(seen.left_knee[0] - (MARKS.left_knee[0] + 16)) < 4, JSON.stringify(seen));
  assert.ok(Math.abs(seen.right_knee[0] - (MARKS.right_knee[0] - 16)) < 4, JSON.stringify(seen));
  const { layout, marks, estimator, frames } = one.recording();
  assert.equal(layout.count, 10);
  assert.equal(estimator, 'followed-from-marks');
  assert.deepEqual(marks, { t_ms: 0, joints: MARKS });
  const knee = frames.at(-1).points[layout.joints.left_knee];
  assert.ok(Math.abs(knee[0] - seen.left_knee[0]) < 1e-6);
  // What the pictures said of the feet goes along: without it heels and rolls of a close-up are unseen.
  assert.ok(frames.every((frame) => frame.feet));
  assert.ok(frames.at(-1).feet.left && frames.at(-1).feet.right, JSON.stringify(frames.at(-1).feet));
  // The recording gives a report without the pictures.
  assert.equal(u.analyze(one.recording()).schema, 1);
  one.free();
});

test('marks that cannot be meant are refused by field', async () => {
  const one = session();
  const refused = (joints, pictures, message) => assert.rejects(one.mark(0, joints, pictures), { name: 'UnderfootError', code: 'bad-input', message });
  await refused(MARKS, [], /marks: need the whole picture/);
  await refused({ ...MARKS, left_hip: [1, 2] }, [picture()], /marks\.joints\.left_hip: only knees/);
  await refused({ ...MARKS, left_knee: [9000, 2] }, [picture()], /marks\.joints\.left_knee: outside the picture/);
  await refused({}, [picture()], /marks\.joints: one leg at least/);
  await refused(MARKS, [{ ...picture(), side: 'left' }], /grey\.side: must be 'both'/);
  // It goes on as before.
  await one.mark(0, MARKS, [picture()]);
  one.free();
});
