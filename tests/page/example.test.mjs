// @ts-check
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { browser, exampleRecording, open, shownReps } from './harness.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

test('the start says what it does, offers four ways in, and shows privacy and cautions', async () => {
  for (const viewport of [
    { width: 1280, height: 800 },
    { width: 390, height: 844 },
  ]) {
    const { page, close } = await open(chromium, { viewport });
    for (const id of ['way-example', 'way-camera', 'way-video', 'way-keypoints']) {
      const box = await page.locator(`#${id}`).boundingBox();
      assert.ok(box && box.y + box.height <= viewport.height, `${id} is on the first screen`);
      assert.ok(box.height >= 24, 'WCAG 2.2, success criterion 2.5.8: target size');
    }
    const promise = page.locator('.promise');
    assert.match(await promise.innerText(), /Nothing is uploaded[\s\S]*not a medical device/);
    const end = await promise.boundingBox();
    assert.ok(end && end.y + end.height <= viewport.height, 'privacy and cautions are on the first screen');
    await close();
  }
});

test('the example plays and ends in a result with a cue, a table and the feet', async () => {
  const { page, close } = await open(chromium);
  await page.click('#way-example');
  await page.waitForSelector('#skip-to-result');
  await page.click('#skip-to-result');
  const reps = await shownReps(page);
  assert.ok(reps >= 3, `${reps} repetitions`);
  assert.ok(((await page.textContent('#cue-text')) ?? '').length > 15);
  assert.equal(await page.locator('.sole-now').count(), 2);
  assert.ok((await page.locator('.plot-group canvas').count()) >= 1);
  // Every state is said in a word beside its shape.
  for (const cell of await page.locator('table.reps .verdict').all()) {
    assert.match(await cell.innerText(), /OK|unsure|fault|not seen/);
    assert.equal(await cell.locator('svg').count(), 1);
  }
  await close();
});

test('the figure and the feet follow the scrubber', async () => {
  const { page, close } = await open(chromium);
  await page.click('#way-example');
  await page.click('#skip-to-result');
  await shownReps(page);
  const picture = () => page.evaluate(() => /** @type {HTMLCanvasElement} */ (document.querySelector('#result .player canvas')).toDataURL());
  await page.locator('#result .scrub').focus();
  await page.keyboard.press('Home');
  const [standing, planted] = [await picture(), await page.innerText('.contacts-said')];
  await page.click('.mark-rep >> nth=0');
  assert.notEqual(await picture(), standing);
  // The invented lifter's heels leave the floor in the hole.
  assert.doesNotMatch(planted, /lifted/);
  assert.match(await page.innerText('.contacts-said'), /heel lifted/);
  const { frames } = exampleRecording();
  const last = (frames.at(-1).t_ms - frames[0].t_ms) / 1000;
  await page.locator('.scrub').focus();
  await page.keyboard.press('End');
  assert.equal(await page.textContent('.clock'), `${last.toFixed(1)} s`);
  await close();
});
