// @ts-check
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { CLIP, answerBefore, browser, file, open, shownReps, trouble } from './harness.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => { chromium = await browser(); });
after(() => chromium.close());

test('a rendered clip of three squats goes through the real estimator and gives three repetitions', { timeout: 300_000 }, async () => {
  const { page, close } = await open(chromium);
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  const reps = await shownReps(page, 280_000);
  const counted = (await page.textContent('#work-count')) ?? '';
  console.log(`    ${counted}`);
  assert.equal(reps, 3);
  // The clip has 432 frames; every one is read.
  assert.match(counted, /^432 frames/);
  await close();
});

test('reading can be stopped with what is read, and cancelled', { timeout: 120_000 }, async () => {
  const { page, close } = await open(chromium);
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  await page.waitForFunction(() => /^\d\d+ frames/.test(document.getElementById('work-count')?.textContent ?? ''), null, { timeout: 60_000 });
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
