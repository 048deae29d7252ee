// Outputs of pose estimators, in the forms that their documentation gives, become the same people.
// The numbers are what @mediapipe/pose gave for a rendered clip; its other forms are that output written as each tool writes its own.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { recording } from './harness.mjs';

const url = (name) => pathToFileURL(join(process.env.UNDERFOOT_PKG, name)).href;
const { adapter, fromInstances, fromMediaPipe, fromOpenPose, fromPoses, fromYxScore } = await import(url('adapters.js'));
const { Session, init, layouts } = await import(url('index.js'));

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
  assert.deepEqual(fromMediaPipe({ landmarks: [] }, image), []);
  assert.deepEqual(fromMediaPipe({ poseLandmarks: undefined, people: undefined, keypoints: [] }.poseLandmarks, image), []);
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
  assert.deepEqual(fromOpenPose({ version: 1.3, people: [] }), []);
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
  assert.deepEqual(scores({ scores: 'logit' }, [0, Math.log(3)]).map((s) => s.toFixed(9)), ['0.500000000', '0.750000000']);
  assert.deepEqual(scores({ scores: 'percent' }, [50, 100]), [0.5, 1]);
  assert.deepEqual(scores({ scores: 'none' }, [-7, 7]), [1, 1]);
  assert.deepEqual(scores({}, [1.02, NaN]), [1, 0]);
  assert.throws(() => scores({}, [4.2, 1]), { code: 'bad-input', message: /people\[0\]\[0\].score: 4.2 is no probability; pass scores: 'logit'/ });
});

test('z among the numbers, x from the right edge, joint maps, nobody', () => {
  const layout = { count: 2, joints: { left_hip: 0, right_hip: 1 } };
  const small = { width: 100, height: 50 };
  assert.deepEqual(adapter({ layout, order: 'x y z score' })([1, 2, 9, 0.5, 3, 4, 9, 0.6]).map((p) => [...p]), [[1, 2, 0.5, 3, 4, 0.6]]);
  assert.deepEqual(adapter({ layout, image: small, flipped: true })([[10, 2], null]).map((p) => [...p]), [[90, 2, 1, NaN, NaN, 0]]);
  assert.deepEqual(adapter({ layout })(null), []);
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
  const swap = new Map(Object.entries(layouts['blazepose-33'].joints).map(([joint, at]) => {
    const other = joint.startsWith('left') ? joint.replace('left', 'right') : joint.replace('right', 'left');
    return [at, layouts['blazepose-33'].joints[other]];
  }));
  const flip = (points) => points.map((_, i) => {
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
