// @ts-check
/** How soon the page is there, and that nothing holds it up afterwards. Limits are for a machine that does other things as well. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { CLIP, answerBefore, browser, exampleRecording, file, open, shownReps } from './harness.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

test('the first view is there within a second on this machine, and is small', async () => {
  const { page, close } = await open(chromium);
  const { painted, usable, files, bytes } = await page.evaluate(() => {
    const all = /** @type {PerformanceResourceTiming[]} */ (performance.getEntriesByType('resource'));
    const [own] = /** @type {PerformanceNavigationTiming[]} */ (performance.getEntriesByType('navigation'));
    return {
      painted: performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? Infinity,
      usable: own.domContentLoadedEventEnd,
      files: all.map((r) => new URL(r.name).pathname),
      bytes: all.reduce((sum, r) => sum + r.transferSize, own.transferSize),
    };
  });
  console.log(
    `    first contentful paint ${painted.toFixed(0)} ms, buttons work after ${usable.toFixed(0)} ms, ${files.length} files, ${(bytes / 1e3).toFixed(0)} kB`,
  );
  assert.ok(painted < 1000);
  assert.ok(usable < 1000);
  for (const heavy of ['/vendor/pose/', '/vendor/mediabunny/', '/vendor/uplot/uPlot.esm.js', '/vendor/zip/', '/example/']) {
    assert.ok(!files.some((name) => name.startsWith(heavy)), `${heavy} is not needed for it`);
  }
  await close();
});

test('the estimator is fetched when it is first needed, with a bar', { timeout: 120_000 }, async () => {
  const { page, context, close } = await open(chromium, { serviceWorkers: 'block' });
  /** @type {string[]} */
  const fetched = [];
  context.on('request', (request) => {
    if (request.url().includes('/vendor/pose/')) fetched.push(request.url());
  });
  await page.waitForTimeout(1500);
  assert.deepEqual(fetched, []);
  // As slow as a good home line, so that the bar can be seen to move.
  const line = await context.newCDPSession(page);
  await line.send('Network.emulateNetworkConditions', { offline: false, latency: 5, downloadThroughput: 8e6, uploadThroughput: 8e6 });
  const shares = page.evaluate(
    () =>
      new Promise((resolve) => {
        const seen = new Set();
        const bar = /** @type {HTMLProgressElement} */ (document.getElementById('work-bar'));
        const timer = setInterval(() => {
          seen.add(bar.value);
          if (Number(document.getElementById('work-count')?.dataset.frames) > 0) {
            clearInterval(timer);
            resolve([...seen]);
          }
        }, 5);
      }),
  );
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  await page.waitForSelector('#work:not([hidden])');
  assert.match(await page.innerText('#work-now'), /Loading the pose estimator/);
  assert.ok(/** @type {number[]} */ (await shares).length > 3, 'the bar moves');
  assert.ok(fetched.length >= 5);
  await page.click('#work-cancel');
  await page.waitForSelector('#start:not([hidden])');
  await close();
});

/** The example, over and over: a long set. @param {number} times */
function longRecording(times) {
  const recording = exampleRecording();
  const span = recording.frames.at(-1).t_ms + 40;
  const frames = Array.from({ length: times }, (_, i) => recording.frames.map((/** @type {any} */ f) => ({ ...f, t_ms: f.t_ms + i * span }))).flat();
  return { ...recording, frames };
}

test('measuring a long set never holds the page up', { timeout: 120_000 }, async () => {
  const { page, close } = await open(chromium);
  const recording = longRecording(4);
  await page.evaluate(() => {
    const seen = /** @type {any} */ (window.seen = { longest: 0, measuring: 0, from: 0 });
    let last = performance.now();
    const sign = /** @type {HTMLElement} */ (document.getElementById('measuring'));
    const beat = () => {
      const now = performance.now();
      // Only while it measures: opening a dialog or drawing the plots afterwards is another matter.
      if (!sign.hidden) {
        seen.from ||= now;
        seen.longest = Math.max(seen.longest, now - last);
        seen.measuring = now - seen.from;
      }
      last = now;
      setTimeout(beat, 4);
    };
    beat();
  });
  await page.setInputFiles('#pick-keypoints', file('long.json', JSON.stringify(recording)));
  await answerBefore(page);
  const reps = await shownReps(page, 90_000);
  const { longest, measuring } = await page.evaluate(() => /** @type {any} */ (window).seen);
  console.log(
    `    ${recording.frames.length} frames, ${reps} repetitions: measured in ${measuring.toFixed(0)} ms, longest gap on the page ${longest.toFixed(0)} ms`,
  );
  assert.ok(reps >= 12);
  assert.ok(measuring > 0, 'it was seen to measure');
  assert.ok(longest < 250, `the page stood still for ${longest.toFixed(0)} ms`);
  await close();
});

test('frames that arrive while one is worked on are dropped, never queued', { timeout: 60_000 }, async () => {
  const { page, close } = await open(chromium);
  const { taken, dropped, atOnce, ages } = await page.evaluate(async () => {
    const { FrameLoop } = await import(/** @type {any} */ (new URL('live/frame-loop.js', document.baseURI).href));
    let fire = (/** @type {number} */ _n) => {};
    /** @type {((now: number, meta: any) => void) | null} */
    let waiting = null;
    const video = {
      requestVideoFrameCallback: (/** @type {any} */ f) => {
        waiting = f;
      },
    };
    let presentedFrames = 0;
    fire = (now) => {
      const f = waiting;
      waiting = null;
      presentedFrames += 1;
      f?.(now, { presentedFrames, captureTime: now });
    };
    let working = 0;
    let most = 0;
    /** @type {number[]} */
    const late = [];
    const loop = new FrameLoop(
      video,
      async (/** @type {number} */ t) => {
        working += 1;
        most = Math.max(most, working);
        late.push(performance.now() - t);
        await new Promise((resolve) => setTimeout(resolve, 50));
        working -= 1;
        return { estimator_ms: 50, core_ms: 0 };
      },
      () => {},
    );
    for (let i = 0; i < 60; i += 1) {
      fire(performance.now());
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
    loop.stop();
    await new Promise((resolve) => setTimeout(resolve, 100));
    return { ...loop.pace, atOnce: most, ages: late };
  });
  assert.equal(atOnce, 1);
  assert.equal(taken + dropped, 60);
  assert.ok(dropped > taken, `${taken} taken, ${dropped} dropped`);
  assert.ok(Math.max(...ages) < 5, 'a frame that is taken is fresh');
  await close();
});
