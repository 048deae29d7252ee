// @ts-check
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { BASE, CLIP, answerBefore, browser, open, shownReps } from './harness.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

/** Models that this device keeps. @param {import('playwright-core').Page} page @returns {Promise<string[]>} */
function models(page) {
  return page.evaluate(async () => {
    const all = await Promise.all((await caches.keys()).map(async (name) => (await (await caches.open(name)).keys()).map((r) => r.url)));
    return all
      .flat()
      .filter((url) => url.includes('/vendor/pose/'))
      .map((url) => url.split('/').at(-1) ?? '')
      .filter((name) => name.endsWith('.tflite'));
  });
}

test('nothing large is fetched that was not asked for: neither at the start nor on a coach’s desk', { timeout: 60_000 }, async () => {
  const { page, close } = await open(chromium);
  await page.waitForFunction(() => document.documentElement.dataset.offline === 'page', null, { timeout: 30_000 });
  await page.click('#to-coach');
  await page.waitForSelector('#coach:not([hidden])');
  // Longer than the page rests before it fetches what is kept.
  await page.waitForTimeout(5000);
  assert.deepEqual(await models(page), []);
  const large = await page.evaluate(() => performance.getEntriesByType('resource').filter((r) => r.name.includes('/vendor/pose/')).length);
  assert.equal(large, 0);
  await close();
});

test('once the estimator is asked for, everything works without a network', { timeout: 240_000 }, async () => {
  const { page, context, close } = await open(chromium);
  await page.click('#keep-estimator');
  await page.waitForFunction(() => document.documentElement.dataset.offline === 'ready', null, { timeout: 90_000 });
  assert.deepEqual(await models(page), ['pose_landmark_full.tflite'], 'the model that is used, and no other');
  await context.setOffline(true);
  await page.goto(BASE);
  await page.waitForFunction(() => document.getElementById('block-version')?.textContent !== '…');
  await page.click('#way-example');
  await page.click('#skip-to-result');
  assert.ok((await shownReps(page)) >= 3);
  await page.click('#home');
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  await page.waitForFunction(() => Number(document.getElementById('work-count')?.dataset.frames) > 0, null, { timeout: 90_000 });
  await page.click('#work-cancel');
  await close();
});

test('a newer version is offered and waits; kept sets stay', { timeout: 120_000 }, async () => {
  const { page, context, close } = await open(chromium);
  await page.waitForFunction(() => document.documentElement.dataset.offline === 'page', null, { timeout: 90_000 });
  await page.click('#keep-estimator');
  await page.waitForFunction(() => document.documentElement.dataset.offline === 'ready', null, { timeout: 90_000 });
  // The next version has another name; its files are the same.
  await context.route('**/offline.json', async (route) => {
    const list = await (await route.fetch()).json();
    await route.fulfill({ json: { ...list, version: 'next' } });
  });
  await page.goto(BASE);
  await page.waitForSelector('#update:not([hidden])', { timeout: 60_000 });
  assert.ok(!(await page.evaluate(() => navigator.serviceWorker.controller?.scriptURL ?? '')).endsWith('v=next'));
  // Not while a set is running or a video is read.
  for (const [screen, offered] of /** @type {const} */ ([
    ['live', false],
    ['work', false],
    ['result', true],
  ])) {
    await page.evaluate((name) => {
      document.body.dataset.screen = name;
    }, screen);
    assert.equal(await page.isVisible('#update'), offered, screen);
  }
  await Promise.all([page.waitForEvent('load'), page.click('#update-now')]);
  assert.ok((await page.evaluate(() => navigator.serviceWorker.controller?.scriptURL ?? '')).endsWith('v=next'));
  // The estimator, which is as it was, came along: it is there without a network.
  await context.setOffline(true);
  const parts = await page.evaluate(() =>
    Promise.all(['pose.js', 'pose_landmark_full.tflite', 'pose_solution_simd_wasm_bin.wasm'].map(async (part) => (await fetch(`vendor/pose/${part}`)).ok)),
  );
  assert.deepEqual(parts, [true, true, true]);
  await context.setOffline(false);
  await context.unrouteAll({ behavior: 'ignoreErrors' });
  await close();
});
