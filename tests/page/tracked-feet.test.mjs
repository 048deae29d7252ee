// @ts-check
/** The followed feet on the video: where the feet truly are, and said when one was set elsewhere. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { gunzipSync } from 'node:zlib';
import { CLIP, answerBefore, browser, exampleRecording, file, inProject, open, shownReps } from './harness.mjs';
import { standIn } from './stand-in.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => { chromium = await browser(); });
after(() => chromium.close());

/** @typedef {[number, number]} Point */

/**
 * Where the renderer had the feet in standing, px of the clip's picture (tests/data/clips): a pinhole camera, the
 * middle of the picture on its axis.
 * @returns {{ heel: Point, tip: Point }[]} left first
 */
function trueFeet() {
  const truth = JSON.parse(gunzipSync(readFileSync(inProject('tests/data/clips/dev-front-knees-in.truth.json.gz'))).toString());
  const { camera: { R, t }, focal_px, standing } = truth;
  const project = (/** @type {number[]} */ p) => {
    const [x, y, z] = R.map((/** @type {number[]} */ row, /** @type {number} */ i) => row.reduce((sum, v, j) => sum + v * p[j], t[i]));
    return /** @type {Point} */ ([270 + (focal_px * x) / z, 480 + (focal_px * y) / z]);
  };
  return ['left', 'right'].map((side) => ({ heel: project(standing[`${side}_heel`]), tip: project(standing[`${side}_tip`]) }));
}

const apart = (/** @type {Point} */ a, /** @type {Point} */ b) => Math.hypot(a[0] - b[0], a[1] - b[1]);

test('outline and contact points are drawn on the video where the feet are', { timeout: 240_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page, { stays: true, live: false });
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  assert.equal(await shownReps(page, 90_000), 3);
  await page.check('text=Show the video, with the feet');
  await page.click('#result .mark-rep >> nth=1');
  await page.waitForFunction(() => { const v = /** @type {HTMLVideoElement} */ (document.querySelector('#result .player video')); return !v.seeking && v.readyState >= 2; });
  // Every drawn pixel below the close-up, px of the recording's picture.
  const drawn = await page.evaluate(() => {
    const canvas = /** @type {HTMLCanvasElement} */ (document.querySelector('#result .film canvas'));
    const { width, height } = canvas;
    const top = Math.ceil(0.34 * height) + 4;
    const { data } = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d')).getImageData(0, top, width, height - top);
    /** @type {[number, number][]} */
    const points = [];
    for (let i = 0; i < data.length / 4; i += 1) if (data[4 * i + 3] > 100) points.push([((i % width) / width) * 540, ((Math.floor(i / width) + top) / height) * 960]);
    return points;
  });
  const feet = trueFeet();
  for (const { heel, tip } of feet) {
    const long = apart(heel, tip);
    const middle = /** @type {Point} */ ([(heel[0] + tip[0]) / 2, (heel[1] + tip[1]) / 2]);
    const own = drawn.filter((p) => apart(p, middle) < 2.2 * long);
    assert.ok(own.length > 100, `${own.length} px drawn at ${middle}`);
    // Heel, and the toes' bases three quarters on: a mark at each.
    const ball = /** @type {Point} */ ([heel[0] + 0.74 * (tip[0] - heel[0]), heel[1] + 0.74 * (tip[1] - heel[1])]);
    for (const [name, at] of /** @type {[string, Point][]} */ ([['heel', heel], ['ball', ball]])) {
      const near = Math.min(...own.map((p) => apart(p, at)));
      assert.ok(near < 0.35 * long, `${name} at ${at}: nearest drawn ${near} px`);
    }
  }
  const stray = drawn.filter((p) => feet.every(({ heel, tip }) => Math.min(apart(p, heel), apart(p, tip)) > 1.8 * apart(heel, tip)));
  assert.deepEqual(stray.slice(0, 3), [], 'nothing is drawn away from the feet');
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
  assert.match(await page.innerText('#result'), /The left foot was set .*3 cm/);
  await close();
});
