// @ts-check
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { CLIP, answerBefore, browser, exampleRecording, file, open, shownReps, trouble } from './harness.mjs';
import { standIn } from './stand-in.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

test(
  'a rendered clip of three squats goes through the real estimator and gives three repetitions, and the page hardly waits',
  { timeout: 300_000 },
  async () => {
    const { page, close } = await open(chromium);
    // Long tasks as the browser counts them (W3C Long Tasks: over 50 ms), and how long the estimator had each picture.
    await page.evaluate(async () => {
      const seen = Object.assign(window, { tasks: /** @type {number[]} */ ([]), estimator_ms: 0 });
      new PerformanceObserver((list) => seen.tasks.push(...list.getEntries().map((e) => e.duration))).observe({ type: 'longtask' });
      const { Estimator } = await import(/** @type {any} */ (new URL('input/estimator.js', document.baseURI).href));
      const { estimate } = Estimator.prototype;
      Estimator.prototype.estimate = async function timed(/** @type {any[]} */ ...args) {
        const from = performance.now();
        Object.assign(window, { apart: this.apart });
        try {
          return await estimate.apply(this, args);
        } finally {
          seen.estimator_ms += performance.now() - from;
        }
      };
    });
    await page.setInputFiles('#pick-video', CLIP);
    await answerBefore(page);
    await page.waitForFunction(() => Number(document.getElementById('work-count')?.dataset.frames) > 0, null, { timeout: 100_000 });
    const from = Date.now();
    await page.evaluate(() => {
      /** @type {any} */ (window).tasks.length = 0;
    });
    await page.waitForFunction(() => /left$/.test(document.getElementById('work-now')?.textContent ?? ''), null, { timeout: 60_000 });
    const reps = await shownReps(page, 280_000);
    const { tasks, estimator_ms, apart } = await page.evaluate(() => {
      const { tasks: all, estimator_ms: ms, apart: alone } = /** @type {any} */ (window);
      return { tasks: /** @type {number[]} */ (all), estimator_ms: /** @type {number} */ (ms), apart: /** @type {boolean} */ (alone) };
    });
    const longest = Math.max(0, ...tasks);
    console.log(
      `    14.4 s of video, ${((Date.now() - from) / 1000).toFixed(0)} s from the first frame to the cue, ${(estimator_ms / 1000).toFixed(0)} s of them the estimator's; longest task on the page ${longest.toFixed(0)} ms`,
    );
    assert.equal(reps, 3);
    assert.ok(apart, 'the estimator has a thread of its own');
    // Under 100 ms on a machine of its own; this one does other things as well.
    assert.ok(longest < 400, `${longest} ms`);
    // The clip has 432 frames; every one is read.
    assert.equal(await page.getAttribute('#work-count', 'data-frames'), '432');
    await close();
  },
);

test('reading can be stopped with what is read, and cancelled', { timeout: 120_000 }, async () => {
  const { page, close } = await open(chromium);
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  await page.waitForFunction(() => Number(document.getElementById('work-count')?.dataset.frames) > 9, null, { timeout: 60_000 });
  await page.click('#work-keep');
  await page.waitForSelector('#result:not([hidden])');
  await page.click('#home');
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  await page.waitForSelector('#work:not([hidden])');
  await page.click('#work-cancel');
  await page.waitForSelector('#start:not([hidden])');
  await close();
});

for (const [name, content, expected] of /** @type {[string, Buffer, RegExp][]} */ ([
  ['empty', Buffer.alloc(0), /empty/],
  ['no video at all', Buffer.from('this is text'), /can’t decode/],
  ['cut off after its first bytes', readFileSync(CLIP).subarray(0, 300), /can’t decode|No frame/],
])) {
  test(`a video file that is ${name}: one sentence`, async () => {
    const { page, close } = await open(chromium);
    await page.setInputFiles('#pick-video', file('a.webm', content, 'video/webm'));
    assert.match(await trouble(page), expected);
    assert.ok(await page.isVisible('#start'));
    await close();
  });
}

test('without WebCodecs the browser’s player is stepped: every frame, with the times that the decoder gives', { timeout: 240_000 }, async () => {
  const { page, close } = await open(chromium);
  const clip = readFileSync(CLIP).toString('base64');
  const [decoded, stepped] = await page.evaluate(async (base64) => {
    const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
    const video = new File([bytes], 'clip.webm', { type: 'video/webm' });
    const { openVideo } = await import(/** @type {any} */ (new URL('input/video-file.js', document.baseURI).href));
    const times = async () => {
      const out = [];
      for await (const { t_ms } of (await openVideo(video)).frames()) {
        out.push(t_ms);
        if (out.length === 60) break;
      }
      return out;
    };
    const first = await times();
    Reflect.deleteProperty(globalThis, 'VideoDecoder');
    return [first, await times()];
  }, clip);
  assert.equal(stepped.length, 60);
  const far = stepped.map((/** @type {number} */ t, /** @type {number} */ i) => Math.abs(t - decoded[i]));
  assert.ok(Math.max(...far) < 2, `up to ${Math.max(...far)} ms from the decoder's times`);
  await close();
});

test('a video that fails leaves the result that is on screen', { timeout: 120_000 }, async () => {
  const { page, close } = await open(chromium);
  await page.setInputFiles('#pick-keypoints', file('set.json', JSON.stringify(exampleRecording())));
  await answerBefore(page);
  const reps = await shownReps(page);
  await page.evaluate(async () => {
    const { Estimator } = await import(/** @type {any} */ (new URL('input/estimator.js', document.baseURI).href));
    Estimator.load = async () => ({
      name: 'x',
      estimate: async () => {
        throw new Error('graphics context lost');
      },
      close() {},
    });
  });
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  assert.match(await trouble(page), /graphics context lost/);
  assert.equal(await shownReps(page), reps);
  // And it still works: the scrubber moves the figure.
  const picture = () => page.evaluate(() => /** @type {HTMLCanvasElement} */ (document.querySelector('#result .player canvas')).toDataURL());
  const before_ = await picture();
  await page.locator('#result .scrub').focus();
  await page.keyboard.press('Home');
  assert.notEqual(await picture(), before_);
  await page.setInputFiles('#pick-video', CLIP);
  await page.waitForSelector('#before[open]');
  await page.click('#before button[value=back]');
  assert.equal(await shownReps(page), reps, 'nor does a change of mind lose it');
  await close();
});

test('an estimator that fails in the middle of a video: what was read is shown, with the reason', { timeout: 120_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page, { failsAt_ms: 9000, live: false });
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  assert.ok((await shownReps(page, 60_000)) >= 1);
  assert.match(await trouble(page), /could not be read to its end.*graphics context lost.*until then is below/);
  await close();
});
