// @ts-check
/** Nothing of the coach's is ever lost: however large the desk, from an older version, put together from two, two clients of one nickname. */
import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { strFromU8, unzipSync } from 'fflate';
import { seal } from '../../www/share/envelope.js';
import { encodeResult } from '../../www/share/result-file.js';
import { browser, exampleRecording, open } from './harness.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
/** @type {string} */
let dir;
before(async () => {
  dir = mkdtempSync(join(tmpdir(), 'underfoot-desk-'));
  chromium = await browser();
});
after(async () => {
  await chromium.close();
  rmSync(dir, { recursive: true, force: true });
});

/** @param {string} lifter @param {string} day @param {any} [recording] @param {number} [sets] */
function result(lifter, day, recording = exampleRecording(), sets = 1) {
  const one = { recording, report: { reps: [] }, thresholds: {}, wanted: 'front' };
  return Buffer.from(encodeResult({ made_with: '0.1.0', day, lifter, note: '', check: null, sets: Array(sets).fill(one) }));
}

/** @param {string} name @param {Buffer} buffer */
const named = (name, buffer) => ({ name, mimeType: 'application/octet-stream', buffer });

/** @param {import('playwright-core').Page} page @param {any} files @param {RegExp} said */
async function take(page, files, said) {
  await page.setInputFiles('#pick-results', files);
  await page.locator('#desk-said', { hasText: said }).waitFor({ timeout: 150_000 });
  return page.innerText('#desk-said');
}

/** @param {import('playwright-core').Page} page @param {string} to */
async function exported(page, to) {
  const [download] = await Promise.all([page.waitForEvent('download', { timeout: 120_000 }), page.click('#desk-export')]);
  await download.saveAs(to);
  return to;
}

/** What the coach added, by the file that it belongs to, as another implementation of the zip format reads it. @param {string} path */
function contents(path) {
  const parts = unzipSync(readFileSync(path));
  return JSON.parse(strFromU8(parts['desk.json'])).results
    .map((/** @type {any} */ { name, ...words }) => ({ ...words, file: createHash('sha256').update(parts[name]).digest('hex') }));
}

test('a desk of more than 64 MB goes out as one file and comes back without loss', { timeout: 400_000 }, async () => {
  // Invented and noisy, so that it does not pack: a set of 4,000 frames is about the largest result there is.
  const noise = () => {
    const { layout, image, frames } = exampleRecording();
    const count = frames.find((/** @type {any} */ f) => f.points).points.length;
    return { layout, image, frames: Array.from({ length: 3900 }, (_, i) => ({ t_ms: i * 33.3, points: Array.from({ length: count }, () => [Math.random() * 700, Math.random() * 1200, Math.random()]) })) };
  };
  const many = 56;
  const paths = [];
  for (let i = 0; i < many; i += 1) {
    paths.push(join(dir, `${i}.underfoot`));
    writeFileSync(paths[i], result(`Client ${i % 7}`, `2026-10-${String(1 + (i % 28)).padStart(2, '0')}`, noise(), 3));
  }
  const one = await open(chromium, { acceptDownloads: true });
  await one.page.click('#to-coach');
  await take(one.page, paths, new RegExp(`${many} results taken in`));
  await one.page.click('.entries button >> nth=0');
  await one.page.waitForSelector('#next-check', { timeout: 60_000 });
  await one.page.fill('input[name=own-note]', 'Knees better, heels next');
  await one.page.fill('input[name=own-cue]', 'Heels heavy');
  await one.page.keyboard.press('Tab');
  await one.page.getByText('Kept.', { exact: true }).waitFor();
  await one.page.click('text=Back to the desk');
  await one.page.waitForSelector('#desk-export');
  const path = await exported(one.page, join(dir, 'all.underfoot-desk'));
  const size = statSync(path).size;
  const two = await open(chromium, { acceptDownloads: true });
  await two.page.click('#to-coach');
  const started = Date.now();
  await take(two.page, path, new RegExp(`${many} results taken in`));
  console.log(`    ${many} results, ${(size / 2 ** 20).toFixed(1)} MiB, imported in ${((Date.now() - started) / 1000).toFixed(1)} s`);
  assert.ok(size > 64 * 2 ** 20, 'really over what could be read whole');
  assert.match(await two.page.innerText('#coach'), /Your note: Knees better, heels next/);
  const before_ = contents(path);
  assert.equal(before_.length, many);
  assert.deepEqual(before_.map((/** @type {any} */ r) => r.file).sort(), paths.map((p) => createHash('sha256').update(readFileSync(p)).digest('hex')).sort());
  assert.deepEqual(contents(await exported(two.page, join(dir, 'again.underfoot-desk'))), before_);
  // Once more: nothing is doubled.
  await take(two.page, path, new RegExp(`${many} results were here already`));
  // Cut short on its way: one sentence, and what is here stays.
  writeFileSync(join(dir, 'cut.underfoot-desk'), readFileSync(path).subarray(0, 5e6));
  await take(two.page, join(dir, 'cut.underfoot-desk'), /damaged or cut short/);
  assert.equal(await two.page.locator('.entries li').count(), many);
  await one.close();
  await two.close();
});

test('a part of a desk that is damaged keeps no other out; what is no desk says so', { timeout: 60_000 }, async () => {
  const { page, close } = await open(chromium, { acceptDownloads: true });
  await page.click('#to-coach');
  await take(page, [named('a.underfoot', result('Robin', '2026-11-02')), named('b.underfoot', result('Sam', '2026-11-09'))], /2 results taken in/);
  const path = await exported(page, join(dir, 'small.underfoot-desk'));
  const bytes = readFileSync(path);
  // A bit inside the first file: its checksum in the zip no longer fits.
  bytes[400] ^= 1;
  const two = await open(chromium);
  await two.page.click('#to-coach');
  assert.match(await take(two.page, named('small.underfoot-desk', bytes), /taken in/), /1 result taken in\.\s+small\.underfoot-desk: This export is damaged/);
  assert.match(await take(two.page, named('x.underfoot-desk', Buffer.from('hello there, this is no desk at all')), /not an Underfoot/), /x\.underfoot-desk/);
  await two.close();
  await close();
});

test('a desk file and a desk of the older version are read, the coach’s words with them', { timeout: 60_000 }, async () => {
  const { page, close } = await open(chromium);
  const items = [{ file: new Uint8Array(result('Robin', '2026-11-02')), note: 'old note', cue: 'old cue', client: 'Robin of the north' }];
  await page.click('#to-coach');
  await take(page, named('old.underfoot-desk', Buffer.from(seal('desk', 1, items))), /1 result taken in/);
  assert.match(await page.innerText('#coach'), /Robin of the north[\s\S]*old note[\s\S]*old cue/);
  await close();

  const { page: other, close: closeOther } = await open(chromium);
  // The database as version 1 had it, written out here on purpose: later versions must go on reading it.
  await other.evaluate(async (bytes) => {
    const opening = indexedDB.open('underfoot-desk', 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore('results', { keyPath: 'id' });
    const db = await new Promise((resolve) => { opening.onsuccess = () => resolve(opening.result); });
    const tx = db.transaction('results', 'readwrite');
    for (const [i, file] of bytes.entries()) tx.objectStore('results').put({ id: `id${i}`, file: Uint8Array.from(file).buffer, note: `note ${i}`, cue: '', client: 'Sam' });
    await new Promise((resolve) => { tx.oncomplete = resolve; });
    db.close();
  }, [[...result('Sam', '2026-11-02')], [...result('Sam', '2026-11-09')], [1, 2, 3]]);
  await other.click('#to-coach');
  await other.waitForSelector('.entries li');
  assert.equal(await other.locator('.entries li').count(), 3, 'even one that can’t be read is not thrown away');
  assert.match(await other.innerText('.entries'), /note 1[\s\S]*note 0[\s\S]*can’t be read/);
  await other.click('.entries button >> nth=0');
  await other.waitForSelector('#next-check');
  assert.equal(await other.inputValue('input[name=own-note]'), 'note 1');
  await closeOther();
});

test('two clients with one nickname: the coach names them, and is asked when it is not certain whose a result is', { timeout: 90_000 }, async () => {
  const { page, close } = await open(chromium);
  const tall = (/** @type {number} */ height_m) => ({ ...exampleRecording(), lifter: { height_m } });
  await page.click('#to-coach');
  await take(page, named('1.underfoot', result('Robin', '2026-11-02', tall(1.74))), /1 result taken in\.$/);
  await page.click('.entries button >> nth=0');
  await page.waitForSelector('#next-check');
  await page.fill('input[name=own-client]', 'Robin A');
  await page.keyboard.press('Tab');
  await page.getByText('Kept.', { exact: true }).waitFor();
  await page.click('text=Back to the desk');
  // The same person: goes under the name that the coach gave.
  assert.doesNotMatch(await take(page, named('2.underfoot', result('Robin', '2026-11-09', tall(1.74))), /1 result taken in/), /tall/);
  assert.deepEqual(await page.locator('.client h2').allInnerTexts(), ['Robin A']);
  for (const name of ['Robin Z', 'Robin A']) {
    await page.click('.entries button >> nth=0');
    await page.waitForSelector('#next-check');
    await page.fill('input[name=own-client]', name);
    await page.click('#name-all');
    await page.getByText(`All 2 results are kept under ${name}.`).waitFor();
    await page.click('text=Back to the desk');
    await page.waitForSelector('.client');
    assert.deepEqual(await page.locator('.client h2').allInnerTexts(), [name]);
  }
  // Another one.
  assert.match(await take(page, named('3.underfoot', result('Robin', '2026-11-10', tall(1.6))), /1 result taken in/), /160 cm tall.*was 174 cm.*somebody else/);
  await page.click('.entries button >> nth=0');
  await page.waitForSelector('#next-check');
  await page.fill('input[name=own-client]', 'Robin B');
  // A moment later, without leaving the field: kept.
  await page.getByText('Kept.', { exact: true }).waitFor();
  await page.click('text=Back to the desk');
  await page.waitForSelector('.client');
  assert.deepEqual((await page.locator('.client h2').allInnerTexts()).sort(), ['Robin A', 'Robin B']);
  assert.match(await take(page, named('4.underfoot', result('Robin', '2026-11-16', tall(1.6))), /1 result taken in/), /More than one client writes “Robin” \(Robin A, Robin B\)/);
  assert.match(await take(page, named('4.underfoot', result('Robin', '2026-11-16', tall(1.6))), /here already/), /^1 result was here already\.$/);
  await close();
});

test('two desks of one coach put together: no word of either is lost', async () => {
  const { page, close } = await open(chromium);
  const merged = await page.evaluate(async () => {
    const { merged: put } = await import(/** @type {any} */ (new URL('coach/desk-file.js', document.baseURI).href));
    const here = { client: 'Robin', nickname: 'Robin', cue: 'Heels heavy', note: 'laptop', taken: 1 };
    return [put(here, { client: 'Robin A', cue: 'Big toes down', note: 'phone' }, true), put({ ...here, client: 'Robin B' }, { client: 'Robin A', cue: '', note: 'laptop' }, true),
      put(here, { client: 7, cue: null, note: '\u202eevil', taken: 5 }, false)];
  });
  assert.deepEqual(merged, [
    { client: 'Robin A', cue: 'Heels heavy', note: 'laptop / phone / Cue on the other desk: Big toes down' },
    { client: 'Robin B', cue: 'Heels heavy', note: 'laptop' },
    { client: 'Robin', cue: '', note: 'evil', taken: 5 },
  ]);
  await close();
});

test('a result opened on the desk is replayed: files hold no place for points that no check uses', { timeout: 60_000 }, async () => {
  const { page, close } = await open(chromium);
  await page.click('#to-coach');
  const recording = exampleRecording();
  const crowd = { ...recording, frames: recording.frames.map((/** @type {any} */ f, /** @type {number} */ i) => (i % 9 === 4 && f.points
    ? { t_ms: f.t_ms, people: [f.points, f.points.map((/** @type {number[]} */ p) => [p[0] / 3, p[1] / 3, p[2]])] } : f)) };
  await take(page, [named('1.underfoot', result('Robin', '2026-11-02')), named('2.underfoot', result('Sam', '2026-11-03', crowd))], /2 results taken in/);
  for (const client of ['Robin', 'Sam']) {
    for (const way of ['text=Replay and curves', 'table.reps button.value >> nth=0']) {
      await page.click(`.client:has(h2:text-is("${client}")) .entries button`);
      await page.waitForSelector('#next-check');
      await page.click(`#coach >> ${way}`);
      await page.waitForSelector('#result:not([hidden]) .player canvas');
      await page.waitForSelector('#result .plots .uplot');
      const drawn = await page.locator('.player canvas').evaluate((canvas) => {
        const { data } = /** @type {HTMLCanvasElement} */ (canvas).getContext('2d')?.getImageData(0, 0, canvas.width, canvas.height) ?? { data: [] };
        const seen = new Set();
        for (let i = 0; i < data.length; i += 40) seen.add(`${data[i]},${data[i + 1]},${data[i + 2]}`);
        return seen.size;
      });
      assert.ok(drawn > 3, 'a figure is drawn');
      await page.click('text=Play');
      await page.waitForFunction(() => Number(/** @type {HTMLInputElement} */ (document.querySelector('.scrub')).value) > 10);
      await page.click('#result >> text=Back to the desk');
      await page.waitForSelector('.client');
    }
  }
  await close();
});
