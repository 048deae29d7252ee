// @ts-check
/** Rules of WCAG 2.0 to 2.2, levels A and AA, as the axe-core library checks them. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { after, before, test } from 'node:test';
import { answerBefore, browser, exampleRecording, file, open, shownReps } from './harness.mjs';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => { chromium = await browser(); });
after(() => chromium.close());

/** @param {import('playwright-core').Page} page @param {string} where */
async function check(page, where) {
  await page.evaluate(AXE);
  const violations = await page.evaluate(async (tags) => {
    const { violations: found } = await /** @type {any} */ (window).axe.run(document, { runOnly: tags });
    return found.map((/** @type {any} */ v) => `${v.id}: ${v.nodes.slice(0, 3).map((/** @type {any} */ n) => n.html.slice(0, 140)).join(' | ')}`);
  }, TAGS);
  assert.deepEqual(violations, [], where);
}

for (const colorScheme of /** @type {const} */ (['light', 'dark'])) {
  for (const viewport of [{ width: 1280, height: 800 }, { width: 390, height: 844 }]) {
    test(`no violation on any screen: ${colorScheme}, ${viewport.width} px wide`, { timeout: 120_000 }, async () => {
      const { page, close } = await open(chromium, { colorScheme, viewport });
      await check(page, 'start');
      await page.click('#way-example');
      await page.waitForSelector('#skip-to-result');
      await check(page, 'example');
      await page.click('#skip-to-result');
      await shownReps(page);
      await check(page, 'result');
      await page.setInputFiles('#pick-keypoints', file('set.json', JSON.stringify(exampleRecording())));
      await page.waitForSelector('#before[open]');
      await page.check('#before input[name=hurts][value=yes]');
      await check(page, 'questions before the set');
      await answerBefore(page);
      await shownReps(page);
      await page.click('#to-records');
      await page.waitForSelector('#records:not([hidden])');
      await check(page, 'kept sets');
      const wider = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      assert.ok(wider <= 0, `the page scrolls sideways by ${wider} px`);
      await close();
    });
  }
}

test('the example is reached, played and left by keyboard alone', async () => {
  const { page, close } = await open(chromium);
  const press = async (/** @type {string} */ id) => {
    for (let i = 0; i < 40; i += 1) {
      await page.keyboard.press('Tab');
      if (await page.evaluate(() => document.activeElement?.id) === id) break;
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
