// The contract on numbers that are none: null, NaN and absent mean that the point is unseen, an infinite one is refused;
// in every form that `push`, `analyze` and the adapters take. The native twin stands in xtask/src/analyze.rs.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { before, test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { recording } from './harness.mjs';

const url = (name) => pathToFileURL(join(process.env.UNDERFOOT_PKG, name)).href;
const u = await import(url('index.js'));
const { adapter, fromInstances, fromMediaPipe, fromOpenPose, fromPoses, fromYxScore } = await import(url('adapters.js'));
before(() => u.init());

const image = { width: 640, height: 480 };
const AXES = ['x', 'y', 'score'];
/** What stands in a number's place, and whether that means unseen. */
const ODD = [
  [NaN, true],
  [null, true],
  [undefined, true],
  [Infinity, false],
  [-Infinity, false],
];
/** The first point tells which form a list has; another one does not. */
const PLACES = [0, 5];

const body = (count) => Array.from({ length: count }, (_, i) => [100 + 7 * i, 80 + 9 * i, 0.9]);
const objects = (points, name = 'score') => points.map(([x, y, score]) => ({ x, y, [name]: score }));
const over = (v, size) => (typeof v === 'number' ? v / size : v);
const fractions = (points) => points.map(([x, y, score]) => [over(x, image.width), over(y, image.height), score]);

/** Every form of a frame, by what its points are: [layout, from points to what `push` takes]. */
const FORMS = {
  lists: ['coco-17', (p) => p],
  objects: ['coco-17', (p) => objects(p)],
  visibility: ['coco-17', (p) => objects(p, 'visibility')],
  flat: ['coco-17', (p) => p.flat()],
  people: ['coco-17', (p) => [p]],
  'flat people': ['coco-17', (p) => [p.flat()]],
  'nobody and somebody': ['coco-17', (p) => [null, p]],
  'adapter of lists': ['coco-17', (p) => adapter({ layout: 'coco-17' })(p)],
  'adapter of people': ['coco-17', (p) => adapter({ layout: 'coco-17' })([p])],
  'adapter of objects': ['coco-17', (p) => adapter({ layout: 'coco-17' })(objects(p, 'confidence'))],
  'adapter of x y z score': ['coco-17', (p) => adapter({ layout: 'coco-17', order: 'x y z score' })(p.flatMap(([x, y, s]) => [x, y, 0, s]))],
  'adapter of percent': [
    'coco-17',
    (p) => adapter({ layout: 'coco-17', scores: 'percent' })(p.map(([x, y, s]) => [x, y, typeof s === 'number' ? 100 * s : s])),
  ],
  'adapter of logits': ['coco-17', (p) => adapter({ layout: 'coco-17', scores: 'logit' })(p)],
  fromMediaPipe: ['blazepose-33', (p) => fromMediaPipe({ landmarks: [objects(fractions(p), 'visibility')] }, image)],
  fromPoses: ['coco-17', (p) => fromPoses([{ keypoints: objects(p) }])],
  fromOpenPose: ['body-25', (p) => fromOpenPose({ people: [{ pose_keypoints_2d: p.flat() }] })],
  'fromInstances, scores beside': [
    'halpe-26',
    (p) => fromInstances({ instances: [{ keypoints: p.map(([x, y]) => [x, y]), keypoint_scores: p.map((q) => q[2]) }] }),
  ],
  'fromInstances, flat': ['coco-17', (p) => fromInstances([{ keypoints: p.flat() }], 'coco-17')],
  fromYxScore: [
    'coco-17',
    (p) =>
      fromYxScore(
        fractions(p).flatMap(([x, y, s]) => [y, x, s]),
        image,
      ),
  ],
};

/** The one person that a session keeps of what it was given. */
function kept(layout, frame) {
  const session = new u.Session({ layout, image });
  try {
    session.push(0, frame);
    return session.recording().frames[0].points;
  } finally {
    session.free();
  }
}
/** What means nothing but unseen, written alike. */
const plain = (points) => points.map((p) => (p && p[2] >= 0.3 ? p.map((v) => Math.round(v * 1e6) / 1e6) : null));

for (const [name, [layout, form]] of Object.entries(FORMS)) {
  test(`a number that is none, pushed: ${name}`, () => {
    const points = body(u.layouts[layout].count);
    const whole = plain(kept(layout, form(points)));
    assert.ok(whole.every(Boolean));
    for (const at of PLACES) {
      const unseen = whole.with(at, null);
      for (const [k, axis] of AXES.entries()) {
        for (const [odd, taken] of ODD) {
          // Left out, a member of an object is a score of 1.
          if (odd === undefined && axis === 'score' && /objects|visibility|MediaPipe|Poses/.test(name)) continue;
          const frame = () => form(points.with(at, points[at].with(k, odd)));
          const told = `${odd} as ${axis} of point ${at}`;
          if (taken) assert.deepEqual(plain(kept(layout, frame())), unseen, told);
          else assert.throws(() => kept(layout, frame()), { code: 'bad-input', field: new RegExp(`\\[${at}\\]\\.${axis}$`) }, told);
        }
      }
      if (!/flat|Instances|Yx|Open|x y z|percent|MediaPipe/.test(name)) {
        const gone = kept(layout, form(points.with(at, [null, null, 0])));
        assert.deepEqual(plain(gone), unseen, `point ${at} of nothing`);
      }
    }
  });
}

test('a number that is none, in lists of doubles and in scores that are left out', () => {
  const points = body(17);
  const whole = plain(kept('coco-17', points));
  for (const [odd, taken] of ODD.filter(([v]) => typeof v === 'number')) {
    const frame = Float64Array.from(points.flat().with(15, odd));
    if (taken) assert.deepEqual(plain(kept('coco-17', frame)), whole.with(5, null));
    else assert.throws(() => kept('coco-17', frame), { code: 'bad-input', field: 'points[5].x' });
  }
  const sure = points.map(([x, y]) => [x, y, 1]);
  const short = points.map(([x, y]) => [x, y]);
  const spellings = [
    short,
    short.map(([x, y]) => ({ x, y })),
    adapter({ layout: 'coco-17' })(short),
    adapter({ layout: 'coco-17', order: 'x y' })(short.flat()),
  ];
  for (const frame of spellings) assert.deepEqual(plain(kept('coco-17', frame)), sure);
  for (const point of [[], [1], [1, 2, 1, 0]]) {
    assert.throws(() => kept('coco-17', points.with(5, point)), { code: 'bad-input', message: 'points[5]: must be x, y, score' });
  }
});

test('a number that is none, analysed: as an object and as text', () => {
  const whole = recording('side-heel-lift');
  const frames = whole.frames.slice(0, 150);
  const spoilt = (change) => ({ ...whole, frames: frames.map((f, i) => (i % 7 ? f : { ...f, points: f.points.with(29, change(f.points[29])) })) });
  const report = (tree) => JSON.stringify(u.analyze(tree));
  const unseen = report(spoilt(() => null));
  assert.notEqual(unseen, report(spoilt((p) => p)));
  for (const [k, axis] of AXES.entries()) {
    for (const [odd, taken] of ODD) {
      const tree = spoilt((p) => p.with(k, odd));
      if (taken) {
        assert.equal(report(tree), unseen, `${odd} as ${axis}`);
        // As text NaN and what is left out of a list are null.
        assert.equal(report(JSON.stringify(tree)), unseen, `${odd} as ${axis} in text`);
      } else {
        const refusal = { code: 'bad-input', field: `frames[0].points[29].${axis}`, message: /not a finite number/ };
        assert.throws(() => report(tree), refusal);
        assert.throws(() => report(JSON.stringify(spoilt((p) => p.with(k, 'HERE'))).replaceAll('"HERE"', '1e999')), refusal);
      }
    }
  }
});
