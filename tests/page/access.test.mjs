// @ts-check
/** Rules of WCAG 2.0 to 2.2, levels A and AA, as the axe-core library checks them. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { after, before, test } from 'node:test';
import { CLIP, answerBefore, browser, exampleRecording, file, inProject, open, shownReps } from './harness.mjs';
import { MADE_UP_CAMERA, standIn } from './stand-in.mjs';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser(MADE_UP_CAMERA);
});
after(() => chromium.close());

/** @param {import('playwright-core').Page} page @param {string} where */
async function check(page, where) {
  await page.evaluate(AXE);
  const violations = await page.evaluate(async (tags) => {
    const { violations: found } = await /** @type {any} */ (window).axe.run(document, { runOnly: tags });
    return found.map(
      (/** @type {any} */ v) =>
        `${v.id}: ${v.nodes
          .slice(0, 3)
          .map((/** @type {any} */ n) => n.html.slice(0, 140))
          .join(' | ')}`,
    );
  }, TAGS);
  assert.deepEqual(violations, [], where);
}

/** The page never scrolls sideways. @param {import('playwright-core').Page} page @param {string} where */
async function fits(page, where) {
  const wider = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(wider <= 0, `${where}: the page scrolls sideways by ${wider} px`);
}

/** @param {import('playwright-core').Page} page */
const settled = (page) => page.evaluate(() => Promise.all(document.getAnimations().map((a) => a.finished.catch(() => {}))));

for (const colorScheme of /** @type {const} */ (['light', 'dark'])) {
  for (const viewport of [
    { width: 1280, height: 800 },
    { width: 390, height: 844 },
  ]) {
    const size = `${colorScheme}, ${viewport.width} px wide`;
    /** @param {import('playwright-core').Page} page @param {string} where */
    const look = async (page, where) => {
      await settled(page);
      await check(page, `${where}: ${size}`);
      await fits(page, where);
    };

    test(`no violation from the start to kept sets: ${size}`, { timeout: 180_000 }, async () => {
      const { page, close } = await open(chromium, { colorScheme, viewport });
      await look(page, 'start');
      await page.click('#how-to-film');
      await page.waitForSelector('dialog[open]');
      await look(page, 'how to film it');
      await page.click('dialog[open] >> text=Cancel');
      await page.click('#way-example');
      await page.waitForSelector('#skip-to-result');
      await look(page, 'example');
      await page.click('#skip-to-result');
      await shownReps(page);
      await look(page, 'result');
      const closed = page.locator('#result details:not([open]) > summary');
      while (await closed.count()) await closed.first().click();
      await look(page, 'result with everything unfolded');
      for (const hurts of /** @type {const} */ (['yes', 'no'])) {
        await page.click('#home');
        await page.setInputFiles('#pick-keypoints', file('set.json', JSON.stringify(exampleRecording())));
        await page.waitForSelector('#before[open]');
        await page.check('#before input[name=hurts][value=yes]');
        if (hurts === 'yes') await look(page, 'questions before the set');
        await answerBefore(page, hurts);
        await shownReps(page);
      }
      await page.setInputFiles('#pick-keypoints', file('bad.json', 'no'));
      await page.waitForSelector('#trouble:not([hidden])');
      await look(page, 'trouble');
      await page.click('#to-records');
      await page.waitForSelector('.over-time .plot-group');
      await look(page, 'kept sets with their trends');
      await page.locator('table.kept input[type=checkbox]').nth(0).check();
      await page.locator('table.kept input[type=checkbox]').nth(1).check();
      await page.click('text=Compare selected sets');
      await page.waitForSelector('#comparison table');
      await look(page, 'comparison');
      const ids = await page.locator('table.kept input[type=checkbox]').evaluateAll((all) => all.map((one) => one.id.replace('compare-', '')));
      await page.goto(`${page.url().split('#')[0]}#/both/${ids.slice(0, 2).join(',')}`);
      await page.locator('#result-title', { hasText: 'Both sides' }).waitFor();
      await look(page, 'both sides');
      await page.click('#home');
      const front = readFileSync(inProject('tests/data/clips/dev-front-clean.pose.json.gz'));
      await page.setInputFiles('#pick-keypoints', { name: 'front.json.gz', mimeType: 'application/gzip', buffer: front });
      await answerBefore(page);
      await page.waitForSelector('.second');
      await look(page, 'not enough seen, and a second set offered');
      await close();
    });

    test(`no violation before the camera and while a video is read: ${size}`, { timeout: 180_000 }, async () => {
      const { page, close } = await open(chromium, { colorScheme, viewport });
      await standIn(page, { stays: true });
      await page.click('#way-camera');
      await page.waitForSelector('#before[open]');
      await page.click('#before summary');
      await look(page, 'settings of the estimator');
      await answerBefore(page);
      await page.waitForSelector('.sight li');
      await page.click('#live summary');
      await look(page, 'camera set-up');
      await page.waitForSelector('#live.counting', { timeout: 20_000 });
      await look(page, 'during the set');
      await page.click('#end-set');
      await page.waitForSelector('#result:not([hidden])');
      await page.click('#home');
      await standIn(page, { stays: true, live: false });
      await page.setInputFiles('#pick-video', CLIP);
      await answerBefore(page);
      await page.waitForSelector('#work:not([hidden])');
      await look(page, 'reading a video');
      await shownReps(page, 90_000);
      await look(page, 'result with a video');
      await page.click('#home');
      await page.evaluate(async () => {
        const { Estimator } = await import(/** @type {any} */ (new URL('input/estimator.js', document.baseURI).href));
        Estimator.load = async () => ({ name: 'mediapipe-pose-full', estimate: async () => null, close() {} });
      });
      await page.setInputFiles('#pick-video', inProject('tests/data/clips/close-front.webm'));
      await answerBefore(page);
      await page.click('#work-mark', { timeout: 60_000 });
      await page.waitForSelector('.marking-picture', { timeout: 60_000 });
      await look(page, 'marking feet and shins');
      await close();
    });

    test(`no violation on the coach’s and the client’s screens: ${size}`, { timeout: 180_000 }, async () => {
      const { page, close } = await open(chromium, { colorScheme, viewport });
      await page.click('#to-coach');
      await page.waitForSelector('#coach:not([hidden])');
      await look(page, 'empty desk');
      await page.click('#desk-make');
      await page.click('.make-check summary');
      await look(page, 'making a check');
      await page.click('.make-check button[type=submit]');
      const link = await page.inputValue('#check-link-out .link-text');
      await look(page, 'the link');
      await page.goto('about:blank');
      await page.goto(link);
      await page.waitForSelector('#asked:not([hidden]) .asked-views');
      await look(page, 'what the client is asked');
      await page.setInputFiles('.asked-views input[type=file] >> nth=0', file('set.json', JSON.stringify(exampleRecording())));
      await answerBefore(page);
      await shownReps(page);
      await page.click('text=Use this set for the check');
      await look(page, 'one view filmed');
      await page.click('#send-back');
      await page.click('#summary-link');
      await look(page, 'sending back');
      const summary = await page.inputValue('#asked .link-text');
      const [download] = await Promise.all([page.waitForEvent('download'), page.click('#save-result')]);
      const path = /** @type {string} */ (await download.path());
      await page.goto('about:blank');
      await page.goto(summary);
      await page.waitForSelector('#asked:not([hidden]) table.reps');
      await look(page, 'a summary link');
      await page.click('#to-coach');
      await page.setInputFiles('#pick-results', { name: 'a.underfoot', mimeType: 'application/octet-stream', buffer: readFileSync(path) });
      await page.waitForSelector('.client button');
      await look(page, 'desk');
      await page.click('.client button >> nth=0');
      await page.waitForSelector('#cue-to-give');
      await look(page, 'one result');
      await page.click('#manage summary');
      await look(page, 'names and deleting');
      await page.goto('about:blank');
      await page.goto(link.slice(0, -12));
      await page.waitForSelector('#trouble:not([hidden])');
      await look(page, 'a link that can’t be read');
      await close();
    });
  }
}

test('the example is reached, played and left by keyboard alone', async () => {
  const { page, close } = await open(chromium);
  const press = async (/** @type {string} */ id) => {
    for (let i = 0; i < 40; i += 1) {
      await page.keyboard.press('Tab');
      if ((await page.evaluate(() => document.activeElement?.id)) === id) break;
    }
    assert.equal(await page.evaluate(() => document.activeElement?.id), id);
    await page.keyboard.press('Enter');
  };
  await press('way-example');
  await page.waitForSelector('#skip-to-result');
  await press('skip-to-result');
  await shownReps(page);
  assert.equal(await page.evaluate(() => document.activeElement?.id), 'result-title', 'the reader is taken to the result');
  await close();
});
