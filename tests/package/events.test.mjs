// What an event calls final is what the report says: every recording at hand, frame by frame.
import assert from 'node:assert/strict';
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { before, test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { gunzipSync } from 'node:zlib';
import { inProject, recording } from './harness.mjs';

let u;
before(async () => {
  u = await import(pathToFileURL(join(process.env.UNDERFOOT_PKG, 'index.js')).href);
  await u.init();
  await u.initPicture();
});

/** Rendered clips as an estimator saw them, and the recordings of the other tests; with the estimator's name and without. */
const recordings = ['clips', 'recordings'].flatMap((folder) =>
  readdirSync(inProject(`tests/data/${folder}`))
    .filter((name) => /(clips|pose|in|lift)\.json\.gz$/.test(name))
    .flatMap((name) => {
      const whole = JSON.parse(gunzipSync(readFileSync(inProject(`tests/data/${folder}/${name}`))));
      const { estimator: _, ...unnamed } = whole;
      return [
        [name, whole],
        [`${name} of no known estimator`, unnamed],
      ];
    }),
);

const plain = ({ final: _, ...rest }) => rest;
const tick = () => new Promise((resolve) => setTimeout(resolve));
const marks = (rep) =>
  ['heel_lift_mm', 'knee_in_deg', 'foot_roll_deg'].flatMap((check) => Object.values(rep[check])).concat(rep.forward_pct, rep.load_left_pct);

/**
 * Pushes a whole recording, then nobody for four seconds, then somebody who comes back and stands elsewhere. Gives what was told, and
 * the report at the moment of each event.
 */
async function told(whole, settings = {}, crops = () => undefined) {
  const session = new u.Session({ ...whole, ...settings });
  const heard = [];
  for (const name of ['rep', 'set']) session.addEventListener(name, ({ detail }) => heard.push({ name, detail, then: session.report() }));
  let now = 0;
  for (const frame of whole.frames) session.push((now = frame.t_ms), frame.points, crops(frame));
  for (let i = 0; i < 100; i++) {
    session.push((now += 40), null);
    await tick();
  }
  for (const { points } of whole.frames.slice(0, 45)) session.push((now += 33), points?.map(([x, y, score]) => [x * 0.9, y * 0.95, score]) ?? null);
  await tick();
  const finished = session.finish();
  const again = session.recording();
  session.free();
  return { heard, finished, again };
}

test('what an event calls final is what the report says, at that moment and once the set is over', async (t) => {
  assert.ok(recordings.length >= 16, `${recordings.length}`);
  let [cells, moved, reps] = [0, 0, 0];
  for (const [name, whole] of recordings) {
    const { heard, finished } = await told(whole);
    const sets = heard.filter((one) => one.name === 'set');
    // Once when the lifter had gone, and once for the host that asked.
    assert.equal(sets.length, 2, name);
    for (const { detail, then } of sets) {
      assert.equal(detail.final, true);
      assert.deepEqual(plain(detail), finished, name);
      if (detail === sets[0].detail) assert.deepEqual(plain(detail), then, name);
    }
    const { ...alone } = u.analyze(whole);
    assert.deepEqual(finished, alone, name);
    for (const { detail } of heard.filter((one) => one.name === 'rep')) {
      const own = finished.reps[detail.index - 1];
      if (detail.final) assert.deepEqual(plain(detail), own, name);
      else assert.equal(detail.final, false);
      reps += 1;
      marks(detail).forEach(({ verdict }, k) => {
        cells += 1;
        if (verdict !== marks(own)[k].verdict) moved += 1;
      });
    }
  }
  t.diagnostic(`${reps} repetitions told before the end: ${moved} of their ${cells} verdicts are others in the report, which is why they are not called final`);
});

test('with pictures, settings and later frames too; and the recording gives the same report again', async () => {
  // A pattern that lies still: what it says of the feet does not matter here.
  const side = 96;
  const data = Uint8Array.from({ length: side * side }, (_, i) => 60 + ((((i % side) >> 2) * 7919 + (((i / side) | 0) >> 2) * 104729) % 130));
  for (const name of ['side-heel-lift', 'front-knees-in']) {
    const whole = recording(name);
    const places = { left: whole.frames[0].points[29], right: whole.frames[0].points[30] };
    const crops = () =>
      Object.entries(places).map(([foot, [x, y]]) => ({ side: foot, x: Math.round(x) - 48, y: Math.round(y) - 60, width: side, height: side, data }));
    const settings = { thresholds: { knee_in_deg: { high: 3 }, heel_lift_mm: { high: 9 } }, hurts: true, look_again_days: 3 };
    const { heard, finished, again } = await told(whole, settings, crops);
    const set = heard.find((one) => one.name === 'set').detail;
    assert.equal(finished.cue.id, 'stop');
    assert.equal(finished.reps[0].knee_in_deg.left.threshold_changed, true);
    assert.ok(
      marks(finished.reps[0]).some(({ evidence }) => ['picture', 'both'].includes(evidence)),
      'a picture carried something',
    );
    assert.deepEqual(plain(set), finished);
    const own = { ...again, frames: again.frames.slice(0, whole.frames.length) };
    assert.deepEqual(u.analyze(JSON.stringify(own), settings), finished);
  }
});

/** Joints above the knee, which a phone on the floor doesn't see, in the layout blazepose-33. */
const ABOVE = 25;

test('a close-up that tells no repetition while it runs has them in its set', () => {
  let late = 0;
  for (const [name, { frames, ...setup }] of recordings) {
    const close = frames.map(({ t_ms, points }) => ({ t_ms, points: points?.map((point, i) => (i < ABOVE ? null : point)) ?? null }));
    const ends = u.analyze({ ...setup, frames: close }).reps.map((rep) => rep.end_ms);
    // Cut where a repetition has just ended, as films are.
    for (const end of ends) {
      const session = new u.Session(setup);
      const heard = [];
      for (const name of ['rep', 'set']) session.addEventListener(name, ({ detail }) => heard.push({ name, detail }));
      const cut = close.filter(({ t_ms }) => t_ms <= end + 200);
      for (const { t_ms, points } of cut) session.push(t_ms, points);
      const before = heard.map(({ detail }) => detail);
      const report = session.finish();
      const set = heard.at(-1).detail;
      assert.equal(set.final, true);
      assert.deepEqual(plain(set), report, name);
      assert.deepEqual(report, u.analyze({ ...setup, frames: cut }), name);
      // Every repetition of the set was told, the missing ones just before it as they are in it.
      const told = heard.slice(0, -1).map(({ detail }) => detail);
      for (const rep of report.reps) assert.equal(told.filter((one) => one.start_ms < rep.end_ms && rep.start_ms < one.end_ms).length, 1, name);
      for (const rep of told.slice(before.length)) {
        assert.deepEqual(rep, { ...report.reps[rep.index - 1], final: true }, name);
        late += 1;
      }
      session.free();
    }
  }
  assert.ok(late >= 8, `${late} told late`);
});
