// Outputs of pose estimators, in the forms that their documentation gives, become the same people.
// The numbers are what @mediapipe/pose gave for a rendered clip; its other forms are that output written as each tool writes its own.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { inProject, recording } from './harness.mjs';

const url = (name) => pathToFileURL(join(process.env.UNDERFOOT_PKG, name)).href;
const { adapter, fromInstances, fromMediaPipe, fromOpenPose, fromPoses, fromYxScore } = await import(url('adapters.js'));
const { Session, estimators, init, layouts } = await import(url('index.js'));

const { frames, image } = recording('front-knees-in');
const blaze = frames[100].points;
/** The body of that frame in another layout's order; NaN where it has no such joint. */
const bodyIn = (name) => {
  const out = Array.from({ length: layouts[name].count }, () => [NaN, NaN, 0]);
  for (const [joint, at] of Object.entries(layouts[name].joints)) {
    const from = layouts['blazepose-33'].joints[joint];
    if (from !== undefined) out[at] = blaze[from];
  }
  return out;
};
const near = (people, expected) => {
  assert.equal(people.length, expected.length);
  people.forEach((person, p) => {
    assert.ok(person instanceof Float64Array);
    assert.equal(person.length, expected[p].length * 3);
    expected[p].flat().forEach((value, i) => {
      if (Number.isNaN(value)) assert.ok(Number.isNaN(person[i]));
      else assert.ok(Math.abs(person[i] - value) < 1e-6, `${person[i]} is not ${value} at ${i}`);
    });
  });
};

test('MediaPipe: fractions of width and height, each its own scale', () => {
  const list = blaze.map(([x, y, visibility]) => ({ x: x / image.width, y: y / image.height, z: 0, visibility }));
  near(fromMediaPipe({ landmarks: [list, list], worldLandmarks: [] }, image), [blaze, blaze]);
  near(fromMediaPipe({ poseLandmarks: list }, image), [blaze]);
  near(fromMediaPipe(list, image), [blaze]);
  // Nobody found, as its results say it: an empty list, nothing, or no landmarks beside the picture.
  for (const nobody of [
    { landmarks: [] },
    { landmarks: undefined },
    { landmarks: null, worldLandmarks: [] },
    { poseLandmarks: undefined, image: {} },
    { image: {} },
    {},
    [],
    null,
    undefined,
  ]) {
    assert.deepEqual([...fromMediaPipe(nobody, image)], []);
  }
  assert.throws(() => fromMediaPipe({ boxes: [] }, image), { code: 'bad-input', message: /holds no list of points/ });
  assert.throws(() => fromMediaPipe(list), { code: 'bad-input', message: /^image: .*pixels is needed/ });
});

test('TensorFlow.js: lists of poses with named keypoints in pixels', () => {
  const pose = (points) => ({ score: 0.9, keypoints: points.map(([x, y, score], i) => ({ x, y, score, name: `k${i}` })) });
  near(fromPoses([pose(bodyIn('coco-17'))]), [bodyIn('coco-17')]);
  near(fromPoses([pose(blaze), pose(blaze)], 'blazepose-33'), [blaze, blaze]);
});

test('OpenPose: flat 25 points for each person', () => {
  const points = bodyIn('body-25').map((p) => p.map((v) => (Number.isNaN(v) ? 0 : v)));
  near(fromOpenPose({ version: 1.3, people: [{ person_id: [-1], pose_keypoints_2d: points.flat() }] }), [points]);
  assert.deepEqual([...fromOpenPose({ version: 1.3, people: [] })], []);
});

test('MMPose and COCO results: instances, scores beside or among the points', () => {
  for (const name of ['halpe-26', 'coco-17', 'coco-wholebody-133']) {
    const points = bodyIn(name);
    const apart = { keypoints: points.map(([x, y]) => [x, y]), keypoint_scores: points.map((p) => p[2]) };
    near(fromInstances({ predictions: [[apart]] }, name), [points]);
    near(fromInstances({ frame_id: 0, instances: [apart, apart] }, name), [points, points]);
    near(fromInstances([{ image_id: 1, score: 2.1, keypoints: points.flat() }], name), [points]);
  }
});

test('raw tensors: y before x, in fractions', () => {
  const points = bodyIn('coco-17');
  const data = Float32Array.from(points.flatMap(([x, y, score]) => [y / image.height, x / image.width, score]));
  const [person] = fromYxScore(data, image);
  points.flat().forEach((value, i) => assert.ok(Math.abs(person[i] - value) < 1e-3));
});

test('scores: logits, percent, none; what is no probability is refused', () => {
  const three = { layout: { count: 2, joints: { left_hip: 0, right_hip: 1 } } };
  const scores = (options, values) => [...adapter({ ...three, ...options })(values.map((s) => [10, 20, s]))[0]].filter((_, i) => i % 3 === 2);
  assert.deepEqual(
    scores({ scores: 'logit' }, [0, Math.log(3)]).map((s) => s.toFixed(9)),
    ['0.500000000', '0.750000000'],
  );
  assert.deepEqual(scores({ scores: 'percent' }, [50, 100]), [0.5, 1]);
  assert.deepEqual(scores({ scores: 'none' }, [-7, 7]), [1, 1]);
  assert.deepEqual(scores({}, [1.02, NaN]), [1, 0]);
  assert.throws(() => scores({}, [4.2, 1]), { code: 'bad-input', message: /people\[0\]\[0\].score: 4.2 is no probability; pass scores: 'logit'/ });
});

test('z among the numbers, x from the right edge, joint maps, nobody', () => {
  const layout = { count: 2, joints: { left_hip: 0, right_hip: 1 } };
  const small = { width: 100, height: 50 };
  assert.deepEqual(
    adapter({ layout, order: 'x y z score' })([1, 2, 9, 0.5, 3, 4, 9, 0.6]).map((p) => [...p]),
    [[1, 2, 0.5, 3, 4, 0.6]],
  );
  assert.deepEqual(
    adapter({ layout, image: small, flipped: true })([[10, 2], null]).map((p) => [...p]),
    [[90, 2, 1, NaN, NaN, 0]],
  );
  assert.deepEqual([...adapter({ layout })(null)], []);
  assert.deepEqual(
    adapter({ layout, order: 'x y - - score' })([
      [1, 2, 9, 9, 0.5],
      [3, 4],
    ]).map((p) => [...p]),
    [[1, 2, 0.5, 3, 4, 1]],
  );
  for (const order of ['x y visibility', 'x score', 'x y y', 'x,y,score', 'toString x y', 3]) {
    assert.throws(() => adapter({ layout, order }), { code: 'bad-input', message: /^order: must name x and y/ }, String(order));
  }
  // z would be taken for the score.
  assert.throws(
    () =>
      adapter({ layout })([
        [1, 2, -0.3, 0.9],
        [3, 4, 0.1, 0.9],
      ]),
    { code: 'bad-input', message: /^people\[0\]\[0\]: has 4 numbers, not 3/ },
  );
  assert.throws(() => adapter({ layout, normalized: true }), { code: 'bad-option', message: /^normalized: not an option of an adapter \(known: layout/ });
  assert.throws(() => fromMediaPipe(blaze, image), { code: 'bad-input', message: /are pixels, not fractions/ });
  assert.throws(() => adapter({ layout: 'x' }), { code: 'bad-input', message: /^layout: must be one of blazepose-33/ });
  assert.throws(() => adapter({ layout, flipped: true }), { code: 'bad-input', message: /^image/ });
  assert.throws(() => adapter({ layout })([[1, 2]]), { code: 'bad-input', message: 'people[0]: has 1 points, the layout has 2' });
  assert.throws(() => adapter({ layout })({ boxes: [] }), { code: 'bad-input', message: /holds no list of points/ });
  assert.throws(() => adapter({ layout })([{ boxes: [] }]), { code: 'bad-input', message: /without `keypoints` \(it has boxes\)/ });
});

test('what an adapter gives, a session takes; a mirrored picture only changes sides', async () => {
  await init();
  const run = (setup, points) => {
    const session = new Session({ layout: 'blazepose-33', image, ...setup });
    for (const frame of frames) session.push(frame.t_ms, points(frame.points));
    const { reps } = session.report();
    session.free();
    return reps;
  };
  const plain = run({}, (points) => points);
  const normalised = adapter({ layout: 'blazepose-33', image, normalised: true });
  const again = run({}, (points) => normalised(points.map(([x, y, s]) => [x / image.width, y / image.height, s])));
  assert.equal(again.length, 3);
  again.forEach((rep, i) => assert.ok(Math.abs(rep.knee_in_deg.left.value - plain[i].knee_in_deg.left.value) < 0.01));
  // The estimator saw the flipped picture: x is flipped and what it calls left is the right.
  const swap = new Map(
    Object.entries(layouts['blazepose-33'].joints).map(([joint, at]) => {
      const other = joint.startsWith('left') ? joint.replace('left', 'right') : joint.replace('right', 'left');
      return [at, layouts['blazepose-33'].joints[other]];
    }),
  );
  const flip = (points) =>
    points.map((_, i) => {
      const [x, y, s] = points[swap.get(i) ?? i];
      return [image.width - x, y, s];
    });
  const mirrored = run({ camera: { mirrored: true } }, flip);
  assert.equal(mirrored.length, 3);
  mirrored.forEach((rep, i) => {
    for (const side of ['left', 'right']) {
      const [a, b] = [rep.knee_in_deg[side].value, plain[i].knee_in_deg[side].value];
      assert.ok(a === b || Math.abs(a - b) < 0.5, `${side} ${a} ${b}`);
    }
  });
});

/** A session that was given these people, then nobody; what its recording says. */
function recorded(setup, people) {
  const session = new Session({ layout: 'blazepose-33', image, ...setup });
  session.push(0, people);
  const { estimator } = session.recording();
  session.free();
  return estimator;
}

test('the estimator of an adapter reaches the session, unless the set-up names one; another picture is refused', async () => {
  await init();
  const list = blaze.map(([x, y, visibility]) => ({ x: x / image.width, y: y / image.height, visibility }));
  assert.equal(recorded({}, fromMediaPipe(list, image)), 'mediapipe-pose');
  assert.equal(recorded({ estimator: null }, fromMediaPipe(list, image)), 'mediapipe-pose');
  assert.equal(recorded({ estimator: 'own' }, fromMediaPipe(list, image)), 'own');
  assert.equal(recorded({}, fromPoses([{ keypoints: blaze.map(([x, y, score]) => ({ x, y, score })) }], 'blazepose-33')), 'mediapipe-pose');
  // What a worker gets is a copy.
  assert.equal(recorded({}, structuredClone(fromMediaPipe(list, image))), 'mediapipe-pose');
  assert.equal(recorded({}, [blaze.flat()]), undefined);
  assert.throws(() => recorded({}, fromMediaPipe(list, { width: 640, height: 480 })), {
    code: 'bad-input',
    message: "points: are of a picture of 640 x 480 px, the set-up's image is 540 x 960",
  });
});

test('live values and the report are those of the named estimator, whoever named it', async () => {
  await init();
  const read = (setup, form) => {
    const session = new Session({ layout: 'blazepose-33', image, ...setup });
    for (const { t_ms, points } of frames) session.push(t_ms, form(points));
    const out = [session.live.can_see, session.report()];
    session.free();
    return out;
  };
  const fractions = (points) => points.map(([x, y, visibility]) => ({ x: x / image.width, y: y / image.height, visibility }));
  const exact = (points) => fromMediaPipe(fractions(points), image);
  const named = read({ estimator: 'mediapipe-pose' }, (points) => exact(points).map((person) => person));
  assert.deepEqual(read({}, exact), named);
  assert.deepEqual(
    read({ estimator: 'MediaPipe Pose' }, (points) => exact(points).map((person) => person)),
    named,
  );
  assert.notDeepEqual(read({ estimator: 'another' }, (points) => exact(points).map((person) => person))[0], named[0]);
});

test("the names of estimators are the core's", () => {
  const source = readFileSync(inProject('src/measures/profile.rs'), 'utf8');
  const measured = source.slice(source.indexOf('pub const MEASURED'), source.indexOf('fn from_the_side'));
  assert.deepEqual(
    estimators,
    [...measured.matchAll(/\bname: "(.+?)"/g)].map((match) => match[1]),
  );
  const types = readFileSync(inProject('pkg-template/index.d.ts'), 'utf8').match(/type EstimatorName = (.*);/)[1];
  assert.deepEqual(
    types.split(' | ').map((name) => name.slice(1, -1)),
    estimators,
  );
});
