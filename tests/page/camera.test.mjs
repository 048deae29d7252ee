// @ts-check
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { answerBefore, browser, open, shownReps, trouble } from './harness.mjs';
import { fakeCamera } from './fake-camera.mjs';
import { longestGap } from './stand-in.mjs';

/** @type {Awaited<ReturnType<typeof fakeCamera>>} */
let camera;
/** @type {import('playwright-core').Browser} */
let chromium;
before(
  async () => {
    camera = await fakeCamera();
    chromium = await browser(camera.switches);
  },
  { timeout: 120_000 },
);
after(async () => {
  await chromium?.close();
  camera?.remove();
});

/** @param {import('playwright-core').Page} page */
async function counting(page) {
  await page.waitForSelector('#live.counting', { timeout: 120_000 });
}

test('hands-free: standing still starts the count, a key ends it, the result follows', { timeout: 240_000 }, async () => {
  const { page, close } = await open(chromium);
  await page.click('#way-camera');
  await answerBefore(page);
  await page.waitForSelector('.sight li', { timeout: 60_000 });
  assert.match(await page.innerText('.sight'), /feet|Nobody|Feet/);
  await counting(page);
  const gaps = longestGap(page);
  await page.waitForFunction(() => Number(document.getElementById('rep-count')?.textContent) >= 1, null, { timeout: 120_000 });
  const box = await page.locator('#rep-count').boundingBox();
  assert.ok(box && box.height > 200, 'large enough to be read from afar');
  await page.keyboard.press('Enter');
  assert.ok((await shownReps(page)) >= 1);
  const { longest, middle } = await gaps;
  // The estimator itself runs on the page's thread: no limit, so that what it costs on a machine is seen and not hidden.
  console.log(`    with the real estimator the page stood still for ${middle.toFixed(0)} ms at the middle, ${longest.toFixed(0)} ms at most`);
  await close();
});

test('a hidden tab ends the set, keeps it and says why', { timeout: 240_000 }, async () => {
  const { page, close } = await open(chromium);
  await page.click('#way-camera');
  await answerBefore(page);
  await counting(page);
  await page.waitForTimeout(1500);
  await page.evaluate(() => {
    Object.defineProperty(document, 'hidden', { value: true, configurable: true });
    document.dispatchEvent(new Event('visibilitychange'));
  });
  await page.waitForSelector('#result:not([hidden])');
  assert.match(await trouble(page), /tab was hidden/);
  await close();
});

test('a lost camera ends the set, keeps it and says why', { timeout: 240_000 }, async () => {
  const { page, close } = await open(chromium);
  await page.click('#way-camera');
  await answerBefore(page);
  await counting(page);
  await page.waitForTimeout(1500);
  await page.evaluate(() => {
    const stream = /** @type {MediaStream} */ (/** @type {HTMLVideoElement} */ (document.querySelector('#preview video')).srcObject);
    stream.getVideoTracks()[0].dispatchEvent(new Event('ended'));
  });
  await page.waitForSelector('#result:not([hidden])');
  assert.match(await trouble(page), /disconnected/);
  await close();
});

for (const [name, expected] of /** @type {[string, RegExp][]} */ ([
  ['NotAllowedError', /blocked: allow it/],
  ['NotFoundError', /No camera was found/],
  ['NotReadableError', /in use/],
])) {
  test(`${name} from the camera: one sentence that says what to do`, async () => {
    const { page, close } = await open(chromium);
    await page.evaluate((error) => {
      navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('', error));
    }, name);
    await page.click('#way-camera');
    await answerBefore(page);
    assert.match(await trouble(page), expected);
    assert.ok(await page.isVisible('#start'));
    await close();
  });
}

test('the tilt sensor’s angles become the camera’s pitch and roll', async () => {
  const { page, close } = await open(chromium);
  const of = (/** @type {[number, number, number, boolean]} */ ...a) =>
    page.evaluate(async (args) => {
      const { tiltOf } = await import(/** @type {any} */ (new URL('live/tilt.js', document.baseURI).href));
      return tiltOf(...args);
    }, a);
  /** @param {{ pitch_deg: number, roll_deg: number }} got @param {number} pitch @param {number} roll */
  const near = (got, pitch, roll) => {
    assert.ok(Math.abs(got.pitch_deg - pitch) < 1e-6 && Math.abs(got.roll_deg - roll) < 1e-6, JSON.stringify(got));
  };
  // By hand, from the axes of the W3C Device Orientation specification: beta is 90 upright and 0 flat on its back, where
  // the rear camera looks at the floor.
  near(await of(90, 0, 0, false), 0, 0);
  near(await of(80, 0, 0, false), -10, 0);
  near(await of(100, 0, 0, false), 10, 0);
  near(await of(80, 0, 0, true), 10, 0);
  // On its left side (top to the left), screen turned with it: level again. Gamma -90 is the right edge up.
  near(await of(0, -90, 90, false), 0, 0);
  await close();
});
