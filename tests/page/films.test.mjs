// @ts-check
/** A video stays on the device with its set only when the lifter says so; then it comes back with it, and goes when told. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { CLIP, answerBefore, browser, open, shownReps } from './harness.mjs';
import { MADE_UP_CAMERA, counted, standIn, toCounting } from './stand-in.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser(MADE_UP_CAMERA);
});
after(() => chromium.close());

/** @param {import('playwright-core').Page} page */
async function records(page) {
  await page.click('#to-records');
  await page.waitForSelector('#records:not([hidden])');
}

/** Reads the clip with keypoints in the estimator's place. @param {import('playwright-core').Page} page */
async function readVideo(page) {
  await standIn(page, { stays: true, live: false });
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  assert.equal(await shownReps(page, 90_000), 3);
}

/** What is in the store of films: sizes and first bytes. @param {import('playwright-core').Page} page @returns {Promise<{ size: number, bytes: string, feet: string }[]>} */
function keptFilms(page) {
  return page.evaluate(async () => {
    const db = await new Promise((resolve) => {
      const r = indexedDB.open('underfoot');
      r.onsuccess = () => resolve(r.result);
    });
    const rows = await new Promise((resolve) => {
      const r = db.transaction('films').objectStore('films').getAll();
      r.onsuccess = () => resolve(r.result);
    });
    db.close();
    return Promise.all(
      rows.map(async (/** @type {any} */ row) => {
        const digest = await crypto.subtle.digest('SHA-256', await row.file.arrayBuffer());
        return { size: row.file.size, bytes: [...new Uint8Array(digest)].join(' '), feet: JSON.stringify(row.feet) };
      }),
    );
  });
}

/** The film is shown, and a picture of it differs between two moments. @param {import('playwright-core').Page} page */
async function scrubs(page) {
  await page.check('text=Show the video');
  const video = page.locator('#result .player video');
  assert.ok(await video.isVisible());
  const at = async (/** @type {string} */ key) => {
    await page.locator('#result .scrub').focus();
    await page.keyboard.press(key);
    await page.waitForFunction(() => {
      const v = /** @type {HTMLVideoElement} */ (document.querySelector('#result .player video'));
      return !v.seeking && v.readyState >= 2;
    });
    return page.evaluate(() => {
      const v = /** @type {HTMLVideoElement} */ (document.querySelector('#result .player video'));
      const slider = /** @type {HTMLInputElement} */ (document.querySelector('#result .scrub'));
      return { t: v.currentTime, share: Number(slider.value) / Number(slider.max), duration: v.duration };
    });
  };
  const first = await at('Home');
  assert.ok(first.t < 0.1);
  await page.click('#result .mark-rep >> nth=1');
  const second = await at('ArrowRight');
  assert.ok(Math.abs(second.t / second.duration - second.share) < 0.08, JSON.stringify(second));
  return second;
}

test('the video of a file: kept when asked, there again with the set, in the export, deleted when asked', { timeout: 240_000 }, async () => {
  const one = await open(chromium, { acceptDownloads: true });
  const { page } = one;
  page.on('dialog', (dialog) => dialog.accept());
  await readVideo(page);
  await scrubs(page);
  assert.match(await page.innerText('.film-choice'), /^\s*Save the video with this set \(/);
  assert.deepEqual(await keptFilms(page), [], 'nothing without a word');
  await page.click('text=Save the video with this set');
  await page.waitForFunction(() => /is saved with this set/.test(document.querySelector('.film-choice')?.textContent ?? ''));
  const films = await keptFilms(page);
  assert.deepEqual(
    films.map((f) => f.size),
    [readFileSync(CLIP).length],
  );
  await page.reload();
  await page.waitForFunction(() => document.getElementById('block-version')?.textContent !== '…');
  await records(page);
  assert.match(await page.innerText('table.kept'), /video saved/);
  const [download] = await Promise.all([page.waitForEvent('download'), page.click('text=Export all as one file')]);
  const exported = readFileSync(/** @type {string} */ (await download.path()));
  await page.click('table.kept >> text=Open');
  await shownReps(page);
  await scrubs(page);

  const two = await open(chromium);
  two.page.on('dialog', (dialog) => dialog.accept());
  await records(two.page);
  await two.page.setInputFiles('#pick-import', { name: download.suggestedFilename(), mimeType: 'application/zip', buffer: exported });
  await two.page.waitForFunction(() => /1 imported/.test(document.getElementById('records-said')?.textContent ?? ''));
  assert.deepEqual(await keptFilms(two.page), films, 'byte for byte');
  await two.page.click('table.kept >> text=Open');
  await shownReps(two.page);
  await scrubs(two.page);
  await two.page.click('text=Delete the video');
  await two.page.waitForFunction(() => /Save the video/.test(document.querySelector('.film-choice')?.textContent ?? ''));
  assert.deepEqual(await keptFilms(two.page), []);
  await records(two.page);
  assert.equal(await two.page.locator('table.kept tbody tr').count(), 1, 'the set stays');
  await two.close();

  await records(page);
  await page.click('table.kept >> text=Delete');
  await page.waitForFunction(() => !document.querySelector('table.kept'));
  assert.deepEqual(await keptFilms(page), [], 'a deleted set takes its video along');
  await one.close();
});

test('the camera’s set is filmed when asked, from the pictures that were measured', { timeout: 120_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page, { stays: true });
  await page.click('#way-camera');
  await answerBefore(page);
  await page.check('text=Film it too');
  await page.waitForSelector('#live.counting', { timeout: 20_000 });
  await counted(page, 2);
  await page.click('#end-set');
  assert.ok((await shownReps(page)) >= 2);
  await page.check('text=Show the video');
  await page.click('#result .mark-rep >> nth=1');
  const film = await page.evaluate(async () => {
    const v = /** @type {HTMLVideoElement} */ (document.querySelector('#result .player video'));
    await new Promise((resolve) => {
      if (v.readyState >= 2 && !v.seeking) resolve(null);
      else v.addEventListener('seeked', resolve, { once: true });
    });
    const c = document.createElement('canvas');
    [c.width, c.height] = [v.videoWidth, v.videoHeight];
    const pen = /** @type {CanvasRenderingContext2D} */ (c.getContext('2d'));
    pen.drawImage(v, 0, 0);
    return {
      duration: v.duration,
      t: v.currentTime,
      width: v.videoWidth,
      lit: pen.getImageData(0, 0, c.width, c.height).data.some((b, i) => i % 4 !== 3 && b > 40),
    };
  });
  assert.ok(film.duration > 4 && film.t > 1 && film.width >= 640 && film.lit, JSON.stringify(film));
  await close();
});

test('nothing is filmed unless asked', { timeout: 90_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page, { stays: true });
  await toCounting(page);
  await counted(page, 1);
  await page.click('#end-set');
  await shownReps(page);
  assert.equal(await page.locator('#result video').count(), 0);
  await close();
});
