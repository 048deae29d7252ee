// @ts-check
/** A front and a side set of one check: the page asks for the second, and one result comes of both. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { gunzipSync, gzipSync } from 'node:zlib';
import { answerBefore, browser, inProject, open, shownReps } from './harness.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

/** Real output of a pose estimator for rendered clips whose truth is known (tests/data/recordings). @param {string} name */
const recording = (name) => ({
  name: `${name}.json.gz`,
  mimeType: 'application/gzip',
  buffer: readFileSync(inProject(`tests/data/recordings/${name}.json.gz`)),
});

/**
 * The side set read as if its points were a finer estimator's: by themselves this one's heel points tell nothing.
 */
function finer() {
  const set = recording('side-heel-lift');
  const read = JSON.parse(gunzipSync(set.buffer).toString());
  return { ...set, buffer: gzipSync(JSON.stringify({ ...read, estimator: 'optical-markers' })) };
}

test('the first set says what it could not judge; the second makes one result, which has an address', { timeout: 120_000 }, async () => {
  const { page, close } = await open(chromium);
  await page.setInputFiles('#pick-keypoints', recording('front-knees-in'));
  await answerBefore(page);
  await shownReps(page);
  assert.match(await page.innerText('.second'), /Not judged from here: .+with your side to the camera/);
  await page.setInputFiles('.pick-second', finer());
  await answerBefore(page);
  await page.waitForFunction(() => /^Both sides/.test(document.getElementById('result-title')?.textContent ?? ''), null, { timeout: 60_000 });
  const look = async () => ({
    cues: await page.locator('#cue-text').count(),
    rows: Object.fromEntries(
      await page
        .locator('#result table.reps tbody tr')
        .evaluateAll((rows) =>
          rows.map((r) => [r.querySelector('th')?.firstChild?.textContent ?? '', /** @type {HTMLElement} */ (r).innerText.replace(/\s+/g, ' ')]),
        ),
    ),
    players: await page.locator('#result .player').count(),
  });
  const { cues, rows, players } = await look();
  assert.equal(cues, 1, 'one cue');
  assert.equal(players, 2, 'both pictures');
  // The side set's heels truly rise, the front set's knees truly come inside (truth of the clips).
  assert.match(Object.entries(rows).find(([name]) => /heel/.test(name) && /fault/.test(rows[name]))?.[1] ?? '', /fault.*from the lifter’s/);
  assert.match(Object.entries(rows).find(([name]) => /knee/.test(name) && /fault/.test(rows[name]))?.[1] ?? '', /fault.*from the front/);
  await page.reload();
  await page.waitForFunction(() => /^Both sides/.test(document.getElementById('result-title')?.textContent ?? ''), null, { timeout: 60_000 });
  assert.deepEqual(await look(), { cues, rows, players });
  await page.click('#to-records');
  await page.waitForSelector('#records:not([hidden]) table.kept');
  assert.equal(await page.locator('table.kept >> text=Both sides').count(), 1);
  await close();
});
