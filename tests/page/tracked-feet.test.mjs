// @ts-check
/** The followed feet on the video: where the feet truly are, and said when one was set elsewhere. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { CLIP, answerBefore, browser, exampleRecording, file, open, shownReps } from './harness.mjs';
import { standIn } from './stand-in.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

/** @typedef {[number, number]} Point */

/**
 * The clip's feet in standing, px of its picture: where its renderer has the floor below heel and bases of big and little toe
 * (pinhole camera, the truth's `camera` on heel, ball1 and ball5 at height 0), and the length of the foot there.
 */
const TRUE_FEET = {
  left: {
    contacts: /** @type {Point[]} */ ([
      [318.9, 722.8],
      [332.6, 737.6],
      [348.6, 733.9],
    ]),
    long: 71,
  },
  right: {
    contacts: /** @type {Point[]} */ ([
      [224.3, 725.5],
      [216.3, 741],
      [198.8, 738.3],
    ]),
    long: 71,
  },
};
/** The left shoe's edge, sole and all, as a person traced it on the picture at eleven times its size, to a px or two. */
const SHOE = /** @type {Point[]} */ ([
  [313, 683],
  [334, 683],
  [334, 693],
  [339, 700],
  [345, 711],
  [351, 720],
  [357, 729],
  [356, 735],
  [347, 739],
  [335, 740],
  [326, 737],
  [319, 731],
  [316, 724],
  [316, 715],
  [318, 709],
  [316, 700],
  [314, 690],
]);

const apart = (/** @type {Point} */ a, /** @type {Point} */ b) => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** Crossings of a ray to the right. @param {Point[]} polygon @param {Point} p */
const inside = (polygon, [x, y]) =>
  polygon.filter((a, i) => {
    const b = polygon[(i + 1) % polygon.length];
    return a[1] > y !== b[1] > y && x < a[0] + ((y - a[1]) * (b[0] - a[0])) / (b[1] - a[1]);
  }).length %
    2 ===
  1;

/** Part that two shapes share of what either covers, as in object detection. @param {Point[]} a @param {Point[]} b */
function shared(a, b) {
  let [both, either] = [0, 0];
  for (let x = 280; x < 380; x += 1) {
    for (let y = 650; y < 770; y += 1) {
      const [one, other] = [inside(a, [x, y]), inside(b, [x, y])];
      both += Number(one && other);
      either += Number(one || other);
    }
  }
  return both / either;
}

test('outline and contact points are drawn on the video where the feet are', { timeout: 240_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page, { stays: true, live: false });
  // Every path that is drawn over the film, as it is drawn.
  await page.evaluate(() => {
    const pen = CanvasRenderingContext2D.prototype;
    /** @type {{ points: [number, number][], ring: boolean }[]} */
    let paths = [];
    const { beginPath, moveTo, lineTo, arc, clearRect } = pen;
    const take = (/** @type {CanvasRenderingContext2D} */ of, /** @type {[number, number]} */ p, ring = false) => {
      if (!of.canvas.closest('#result .film')) return;
      const m = of.getTransform().transformPoint(new DOMPoint(...p));
      const path = paths.at(-1);
      path?.points.push([m.x / of.canvas.width, m.y / of.canvas.height]);
      if (path) path.ring ||= ring;
    };
    pen.beginPath = function begin() {
      paths.push({ points: [], ring: false });
      return beginPath.call(this);
    };
    pen.moveTo = function move(x, y) {
      take(this, [x, y]);
      return moveTo.call(this, x, y);
    };
    pen.lineTo = function line(x, y) {
      take(this, [x, y]);
      return lineTo.call(this, x, y);
    };
    pen.arc = function ring(...a) {
      take(this, [a[0], a[1]], true);
      return arc.apply(this, a);
    };
    pen.clearRect = function clear(...a) {
      if (this.canvas.closest('#result .film')) paths = [];
      return clearRect.apply(this, a);
    };
    Object.assign(window, { drawnPaths: () => paths });
  });
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  assert.equal(await shownReps(page, 90_000), 3);
  await page.check('text=Show the video');
  await page.click('#result .mark-rep >> nth=1');
  await page.waitForFunction(() => {
    const v = /** @type {HTMLVideoElement} */ (document.querySelector('#result .player video'));
    return !v.seeking && v.readyState >= 2;
  });
  await page.waitForFunction(() => /** @type {any} */ (window).drawnPaths().length > 3);
  /** @type {{ points: Point[], ring: boolean }[]} */
  const all = await page.evaluate(() => /** @type {any} */ (window).drawnPaths());
  // Those below the close-up, px of the clip's picture.
  const paths = all
    .map(({ points, ring }) => ({ ring, points: points.map(([x, y]) => /** @type {Point} */ ([540 * x, 960 * y])) }))
    .filter(({ points }) => points.length > 0 && points.every((p) => p[1] > 0.36 * 960));
  const middle = (/** @type {Point[]} */ points) => /** @type {Point} */ ([0, 1].map((i) => points.reduce((sum, p) => sum + p[i], 0) / points.length));
  for (const { contacts, long } of Object.values(TRUE_FEET)) {
    const own = paths.filter(({ points }) => apart(middle(points), contacts[1]) < 1.2 * long);
    const marks = [own.find((p) => !p.ring && p.points.length === 4), own.find((p) => p.ring), own.find((p) => !p.ring && p.points.length === 3)];
    for (const [i, mark] of marks.entries()) {
      const at = mark && (mark.ring ? mark.points[1] : middle(mark.points));
      assert.ok(at && apart(at, contacts[i]) < 0.15 * long, `contact point ${i} at ${at}, not ${contacts[i]}`);
    }
  }
  const outlines = paths.filter(({ points }) => points.length > 6).map(({ points }) => shared(points, SHOE));
  assert.ok(Math.max(...outlines) > 0.65, `outlines share ${outlines} with the left shoe`);
  assert.ok(
    paths.every(({ points }) => Object.values(TRUE_FEET).some(({ contacts, long }) => apart(middle(points), contacts[1]) < 1.2 * long)),
    'nothing is drawn away from the feet',
  );
  await close();
});

test('a foot that was set elsewhere within the set is told below the result', async () => {
  const { page, close } = await open(chromium);
  const set = exampleRecording();
  set.frames.forEach((/** @type {any} */ frame, /** @type {number} */ i) => {
    frame.feet = { left: { heel_lift_mm: [0, 2], ...(i > set.frames.length / 2 && { set_by: [30, 0, 0] }) } };
  });
  await page.setInputFiles('#pick-keypoints', file('set.json', JSON.stringify(set)));
  await answerBefore(page);
  await shownReps(page);
  assert.match(await page.innerText('#result'), /You moved your left foot by 3 cm/);
  await close();
});
