// @ts-check
/** Everything that ends a set, and what is left of it. Keypoints stand in for the estimator; camera.test.mjs has the real one. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { browser, keptSets, open, shownReps, trouble } from './harness.mjs';
import { MADE_UP_CAMERA, counted, longestGap, standIn, toCamera, toCounting } from './stand-in.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser(MADE_UP_CAMERA);
});
after(() => chromium.close());

test('walking out ends the set by itself, with every repetition', { timeout: 90_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page);
  await toCounting(page);
  const gaps = longestGap(page);
  await counted(page, 3);
  // Nobody touches anything from here on.
  assert.equal(await shownReps(page), 3);
  assert.ok(await page.isHidden('#trouble'), 'an ordinary end needs no explanation');
  const { longest } = await gaps;
  console.log(`    longest gap on the page while counting ${longest.toFixed(0)} ms`);
  assert.ok(longest < 500, `the page stood still for ${longest.toFixed(0)} ms`);
  assert.equal(await keptSets(page), 1);
  await close();
});

test('standing still at the end of a set does not end it', { timeout: 90_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page, { stays: true });
  await toCounting(page);
  await counted(page, 3);
  await page.waitForTimeout(5000);
  assert.ok(await page.isVisible('#live.counting'));
  await page.click('#end-set');
  assert.equal(await shownReps(page), 3);
  await close();
});

test('a headset’s button ends the set', { timeout: 90_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page);
  await page.evaluate(() => {
    const keys = /** @type {any} */ (window.mediaKeys = /** @type {Record<string, any>} */ ({}));
    // Media Session specification: an action's handler is set, and taken away with null.
    navigator.mediaSession.setActionHandler = (action, handler) => {
      keys[action] = handler;
    };
  });
  await toCounting(page);
  await counted(page, 1);
  await page.evaluate(() => /** @type {any} */ (window).mediaKeys.pause());
  assert.ok((await shownReps(page)) >= 1);
  assert.deepEqual(await page.evaluate(() => Object.values(/** @type {any} */ (window).mediaKeys)), [null, null, null], 'the keys are given back');
  await close();
});

test('a tap on the picture ends the set; before the count it does nothing', { timeout: 90_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page);
  await toCamera(page);
  await page.waitForSelector('.sight li');
  await page.click('#preview');
  await page.waitForSelector('#live.counting', { timeout: 20_000 });
  await counted(page, 1);
  await page.click('#preview');
  assert.ok((await shownReps(page)) >= 1);
  await close();
});

test('“Count from now” starts at once', { timeout: 60_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page);
  await toCamera(page);
  await page.waitForSelector('.sight li');
  await page.click('#start-now');
  await page.waitForSelector('#live.counting', { timeout: 1000 });
  await counted(page, 1);
  await page.keyboard.press('Enter');
  assert.ok((await shownReps(page)) >= 1);
  await close();
});

test('a camera that is unplugged: the set so far is kept and the reason said', { timeout: 90_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page);
  await toCounting(page);
  await counted(page, 1);
  await page.evaluate(() => {
    const stream = /** @type {MediaStream} */ (/** @type {HTMLVideoElement} */ (document.querySelector('#preview video')).srcObject);
    // What browsers do when a camera goes: the track ends and says so (Media Capture and Streams, 4.3.3).
    const [track] = stream.getVideoTracks();
    track.stop();
    track.dispatchEvent(new Event('ended'));
  });
  assert.ok((await shownReps(page)) >= 1);
  assert.match(await trouble(page), /camera was disconnected.*until then is below/);
  assert.equal(await keptSets(page), 1);
  await close();
});

test('an estimator that fails in the middle: the set so far is kept and the reason said', { timeout: 90_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page, { failsAt_ms: 9000 });
  await toCounting(page);
  assert.ok((await shownReps(page)) >= 1);
  assert.match(await trouble(page), /pose estimator failed \(graphics context lost\).*until then is below/);
  assert.equal(await keptSets(page), 1);
  await close();
});

test('an estimator that fails before the count: back to where one was, with the reason', { timeout: 60_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page, { failsAt_ms: -2500 });
  await toCamera(page);
  assert.match(await trouble(page), /pose estimator failed.*open the camera again/);
  assert.ok(await page.isVisible('#start'));
  await close();
});

test('measuring that stops in the middle (its worker is gone): the set is measured from the frames that the page holds', { timeout: 90_000 }, async () => {
  const { page, close } = await open(chromium);
  await page.evaluate(() => {
    const Real = Worker;
    window.Worker = class extends Real {
      /** @param {string | URL} url @param {WorkerOptions} [options] */
      constructor(url, options) {
        super(url, options);
        /** @type {any} */ (window).lastWorker = this;
      }
    };
  });
  await standIn(page);
  await toCounting(page);
  await counted(page, 1);
  await page.evaluate(() => {
    const worker = /** @type {any} */ (window).lastWorker;
    worker.terminate();
    worker.dispatchEvent(new ErrorEvent('error', { message: 'out of memory' }));
  });
  assert.ok((await shownReps(page)) >= 1);
  assert.match(await trouble(page), /measuring failed.*until then is below/);
  assert.equal(await keptSets(page), 1);
  await close();
});

test('leaving for the start in the middle of a set keeps it', { timeout: 90_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page);
  await toCounting(page);
  await counted(page, 1);
  await page.click('#home');
  assert.ok((await shownReps(page)) >= 1);
  assert.equal(await keptSets(page), 1);
  await close();
});

test('the count takes the focus and is read out; keys that screen readers use end no set', { timeout: 90_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page, { stays: true });
  await toCounting(page);
  const count = () =>
    page.evaluate(() => ({
      id: document.activeElement?.id,
      role: document.activeElement?.getAttribute('role'),
      said: document.activeElement?.getAttribute('aria-label'),
    }));
  assert.deepEqual(await count(), { id: 'rep-count', role: 'status', said: '0 reps' });
  await counted(page, 1);
  assert.equal((await count()).said, '1 rep');
  for (const key of ['ArrowDown', 'ArrowRight', 'h', 'Escape', 'Space', 'Home', 'PageDown', 'F6', 'Tab', 'Insert']) await page.keyboard.press(key);
  await page.waitForTimeout(300);
  assert.ok(await page.locator('#live.counting').count(), 'still counting');
  await page.locator('#rep-count').focus();
  await page.keyboard.press('Enter');
  assert.ok((await shownReps(page)) >= 1);
  await close();
});
