// @ts-check
/** What reading both feet costs a frame of a playing video: the page's own way, from a video element over a canvas of the video's size. */
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { CLIP, browser, open } from './harness.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

/** Where the clip's feet are, by ankle, heel and big toe, parts of its width and height (tests/data/clips). */
const FEET = { 27: [0.599, 0.72], 29: [0.59, 0.742], 31: [0.63, 0.758], 28: [0.4, 0.72], 30: [0.41, 0.744], 32: [0.37, 0.762] };
/** Common practice, no source: a quarter of a frame's time at 25 a second; the estimator needs the picture drawn with or without them. */
const MOST_MS = 10;

const ffmpeg = spawnSync('ffmpeg', ['-version']).status === 0;

test('reading the feet from a video leaves room for the estimator', { timeout: 240_000, skip: ffmpeg ? false : 'scaling the clip needs ffmpeg' }, async () => {
  const folder = mkdtempSync(join(tmpdir(), 'crops-'));
  const { page, close } = await open(chromium);
  try {
    await page.evaluate(() => {
      document.body.insertAdjacentHTML('beforeend', '<input type="file" id="measured">');
    });
    for (const width of [720, 1080, 2160]) {
      const path = join(folder, `${width}.webm`);
      const made = spawnSync('ffmpeg', [
        '-v',
        'error',
        '-y',
        '-i',
        CLIP,
        '-t',
        '1.2',
        '-vf',
        `scale=${width}:-2`,
        '-c:v',
        'libvpx',
        '-deadline',
        'realtime',
        '-cpu-used',
        '8',
        '-b:v',
        '8M',
        path,
      ]);
      assert.equal(made.status, 0, String(made.stderr));
      await page.setInputFiles('#measured', path);
      const { whole, crops, height } = await page.evaluate(async (feet) => {
        const { FeetCrops } = await import(/** @type {any} */ (new URL('input/feet-crop.js', document.baseURI).href));
        const video = document.createElement('video');
        Object.assign(video, {
          muted: true,
          loop: true,
          src: URL.createObjectURL(/** @type {FileList} */ (/** @type {HTMLInputElement} */ (document.getElementById('measured')).files)[0]),
        });
        await video.play();
        const canvas = document.createElement('canvas');
        [canvas.width, canvas.height] = [video.videoWidth, video.videoHeight];
        const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d', { willReadFrequently: true }));
        const points = new Float32Array(99);
        for (const [i, [x, y]] of Object.entries(feet)) points.set([x * canvas.width, y * canvas.height, 1], 3 * Number(i));
        const cuts = new FeetCrops();
        /** @type {number[][]} */
        const costs = [];
        while (costs.length < 30) {
          await new Promise((seen) => {
            video.requestVideoFrameCallback(seen);
          });
          const t0 = performance.now();
          pen.drawImage(video, 0, 0);
          const t1 = performance.now();
          if (cuts.cut(pen, points)?.length !== 2) throw new Error('no two feet');
          costs.push([performance.now() - t0, performance.now() - t1]);
        }
        video.pause();
        const middle = (/** @type {number} */ k) => costs.map((c) => c[k]).sort((a, b) => a - b)[15];
        return { whole: middle(0), crops: middle(1), height: video.videoHeight };
      }, FEET);
      console.log(`    ${width} x ${height}: ${whole.toFixed(1)} ms a frame with drawing it, ${crops.toFixed(1)} of them the crops (medians of 30)`);
      assert.ok(crops < MOST_MS, `${width}: ${crops} ms`);
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
  await close();
});
