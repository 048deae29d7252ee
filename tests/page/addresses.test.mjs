// @ts-check
/** Every screen has an address: Back, Forward, a reload and a link bring it back, and nothing is lost without a question. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { BASE, CLIP, answerBefore, browser, measureOne, open, shownReps } from './harness.mjs';
import { standIn } from './stand-in.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

/** @param {import('playwright-core').Page} page */
const at = (page) => new URL(page.url()).hash;

test('Back and Forward go through the screens, a reload stays, and a result can be linked to on this device', async () => {
  const { page, context, close } = await open(chromium);
  await measureOne(page);
  const cue = await page.innerText('#cue-text');
  const result = at(page);
  assert.match(result, /^#\/result\/[\w-]+$/);
  await page.click('#to-records');
  await page.waitForSelector('#records:not([hidden]) table.kept');
  assert.equal(at(page), '#/saved');
  await page.click('#to-coach');
  await page.waitForSelector('#coach:not([hidden])');
  assert.equal(at(page), '#/coach');
  await page.goBack();
  await page.waitForSelector('#records:not([hidden])');
  await page.goBack();
  await page.waitForSelector('#result:not([hidden])');
  assert.equal(await page.innerText('#cue-text'), cue);
  await page.goBack();
  await page.waitForSelector('#start:not([hidden])');
  await page.goForward();
  await page.waitForSelector('#result:not([hidden])');
  await page.reload();
  await shownReps(page);
  assert.equal(await page.innerText('#cue-text'), cue);
  const other = await context.newPage();
  await other.goto(BASE + result);
  await shownReps(other);
  assert.equal(await other.innerText('#cue-text'), cue);
  await other.goto(`${BASE}#/result/nothing-of-the-kind`);
  await other.waitForSelector('#trouble:not([hidden])');
  assert.match(await other.innerText('#trouble-text'), /not saved on this device/);
  await close();
});

test('Back while a video is read asks; no goes on reading, yes leaves', { timeout: 120_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page, { stays: true, live: false });
  await page.click('#to-records');
  await page.waitForSelector('#records:not([hidden])');
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  await page.waitForSelector('#work:not([hidden])');
  assert.equal(at(page), '#/reading');
  /** @type {string[]} */
  const asked = [];
  page.once('dialog', (dialog) => {
    asked.push(dialog.message());
    dialog.dismiss();
  });
  await page.evaluate(() => history.back());
  await page.waitForFunction(() => location.hash === '#/reading');
  assert.ok(await page.isVisible('#work'));
  assert.match(asked[0], /Stop reading/);
  assert.equal(await shownReps(page, 90_000), 3, 'it is read to its end');
  // The reading is over: Back from the result leads to what was before it.
  await page.goBack();
  await page.waitForSelector('#records:not([hidden])');
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  await page.waitForSelector('#work:not([hidden])');
  page.once('dialog', (dialog) => dialog.accept());
  await page.evaluate(() => history.back());
  await page.waitForSelector('#records:not([hidden])');
  await close();
});
