// @ts-check
/** A close-up before the camera: a still picture is taken and marked, the set starts and ends by itself, and the next one needs no marks. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { CLOSE, TRUE } from './close-front.mjs';
import { fakeCamera } from './fake-camera.mjs';
import { answerBefore, browser, open } from './harness.mjs';

/** @type {Awaited<ReturnType<typeof fakeCamera>>} */
let camera;
/** @type {import('playwright-core').Browser} */
let chromium;
before(
  async () => {
    // Stands for 4 s, squats once, and stands again.
    camera = await fakeCamera({ film: CLOSE, until_ms: 5500, stand_ms: 4000 });
    chromium = await browser(camera.switches);
  },
  { timeout: 120_000 },
);
after(async () => {
  await chromium?.close();
  camera?.remove();
});

/** The lifter walks out of the picture: the camera shows nothing. @param {import('playwright-core').Page} page @param {boolean} gone */
const walksOut = (page, gone) =>
  page.evaluate((now) => {
    const { prototype } = CanvasRenderingContext2D;
    const own = /** @type {any} */ (prototype);
    own.drawn ??= prototype.drawImage;
    prototype.drawImage = now
      ? function (/** @type {any[]} */ ...args) {
          if (args[0] instanceof HTMLVideoElement) this.fillRect(0, 0, this.canvas.width, this.canvas.height);
          else own.drawn.apply(this, args);
        }
      : own.drawn;
  }, gone);

/** Puts every mark on its joint with keys. @param {import('playwright-core').Page} page */
async function mark(page) {
  const width = await page.evaluate(() => /** @type {HTMLCanvasElement} */ (document.querySelector('.marking-picture')).width);
  for (const [joint, to] of Object.entries(TRUE)) {
    await page.click(`[data-joint=${joint}]`);
    const said = (await page.getAttribute('.marking-picture', 'aria-label')) ?? '';
    const at = (said.match(/at (-?\d+), (-?\d+)/) ?? []).slice(1).map(Number);
    for (const [i, keys] of [
      ['ArrowLeft', 'ArrowRight'],
      ['ArrowUp', 'ArrowDown'],
    ].entries()) {
      const by = (to[i] * width) / 640 - at[i];
      const key = keys[by > 0 ? 1 : 0];
      for (let k = 0; k < Math.floor(Math.abs(by) / 10); k++) await page.keyboard.press(`Shift+${key}`);
      for (let k = 0; k < Math.round(Math.abs(by) % 10); k++) await page.keyboard.press(key);
    }
  }
}

/** @param {import('playwright-core').Page} page */
const counted = (page) => page.waitForFunction(() => Number(document.getElementById('rep-count')?.textContent) >= 1, null, { timeout: 60_000 });

for (const [device, options] of /** @type {[string, import('playwright-core').BrowserContextOptions][]} */ ([
  ['desktop', {}],
  ['phone', { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true }],
])) {
  test(`${device}: a picture, its marks, a set that starts and ends by itself, and another one`, { timeout: 240_000 }, async () => {
    const { page, close } = await open(chromium, options);
    const shot = (/** @type {string} */ name) => process.env.SHOTS && page.screenshot({ path: `${process.env.SHOTS}/${device}-${name}.png`, fullPage: true });
    await page.evaluate(async () => {
      const { Estimator } = await import(/** @type {any} */ (new URL('input/estimator.js', document.baseURI).href));
      Estimator.load = async () => ({ name: 'mediapipe-pose-full', estimate: async () => null, close() {} });
    });
    await page.click('#way-camera');
    await answerBefore(page);
    await page.waitForFunction(() => document.querySelector('.set-up-said')?.textContent === 'Step into the picture', null, { timeout: 60_000 });
    await shot('offer');
    await page.click('#live-marks');
    await page.locator('.set-up-said', { hasText: 'Stay still' }).waitFor({ timeout: 60_000 });
    await shot('picture');
    await page.waitForSelector('.marking-picture', { timeout: 60_000 });
    await mark(page);
    await shot('marks');
    await page.click('[data-go]');
    await page.locator('.sight', { hasText: 'The phone has not moved' }).waitFor({ timeout: 60_000 });
    await shot('found');
    await page.waitForSelector('#live.counting', { timeout: 60_000 });
    await counted(page);
    await shot('counting');
    await walksOut(page, true);
    await page.waitForSelector('#result:not([hidden])', { timeout: 30_000 });
    assert.ok((await page.locator('#result .mark-rep').count()) >= 1);
    await walksOut(page, false);
    await page.click('text=Another set');
    await page.click('#way-camera');
    await answerBefore(page);
    await page.waitForSelector('#live.counting', { timeout: 60_000 });
    assert.equal(await page.locator('.marking-picture').count(), 0, 'no marks are asked for');
    await counted(page);
    await page.keyboard.press('Enter');
    await page.waitForSelector('#result:not([hidden])', { timeout: 30_000 });
    await close();
  });
}
