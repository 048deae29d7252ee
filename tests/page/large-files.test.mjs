// @ts-check
import assert from 'node:assert/strict';
import { mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { browser, open, trouble } from './harness.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
/** @type {string} */
let dir;
before(async () => {
  dir = mkdtempSync(join(tmpdir(), 'underfoot-large-'));
  chromium = await browser();
});
after(async () => {
  await chromium.close();
  rmSync(dir, { recursive: true, force: true });
});

for (const [name, expected] of /** @type {[string, RegExp][]} */ ([
  ['set.json', /too large.*cut it to one set/],
  ['set.mp4', /can’t decode the video/],
])) {
  test(`200 MB of nothing as ${name}: one sentence, soon`, { timeout: 60_000 }, async () => {
    const path = join(dir, name);
    writeFileSync(path, '');
    truncateSync(path, 200e6);
    const { page, close } = await open(chromium);
    await page.setInputFiles(name.endsWith('.json') ? '#pick-keypoints' : '#pick-video', path);
    assert.match(await trouble(page), expected);
    await close();
  });
}

test('kept sets of more than 150 MB of numbers go out as one file and come back, one at a time', { timeout: 400_000 }, async () => {
  const one = await open(chromium, { acceptDownloads: true });
  const [sets, megabytes] = await one.page.evaluate(async () => {
    const from = (/** @type {string} */ path) => import(/** @type {any} */ (new URL(path, document.baseURI).href));
    const [{ keep }, { analyze }] = [await from('records/store.js'), await from('app/measurer.js')];
    let bytes = 0;
    let n = 0;
    // Invented: nobody's points, with every digit a number can have, of the layout with the most points.
    for (; bytes < 155e6; n += 1) {
      const frames = Array.from({ length: 900 }, (_, i) => ({
        t_ms: i * 33.3,
        points: Array.from({ length: 133 }, () => [640 * Math.random(), 480 * Math.random(), Math.random()]),
      }));
      const recording = { layout: 'coco-wholebody-133', image: { width: 640, height: 480 }, frames };
      bytes += JSON.stringify(recording).length;
      await keep({
        id: `set-${n}`,
        name: `Set ${n}`,
        made: new Date(Date.UTC(2026, 0, 1 + n)).toISOString(),
        source: 'noise',
        recording,
        report: await analyze(recording),
        made_with: '0.1.0',
      });
    }
    return [n, bytes / 1e6];
  });
  await one.page.click('#to-records');
  await one.page.waitForSelector('table.kept');
  const [download] = await Promise.all([one.page.waitForEvent('download', { timeout: 120_000 }), one.page.click('text=Export all as one file')]);
  const path = join(dir, 'sets.zip');
  await download.saveAs(path);
  const two = await open(chromium);
  await two.page.click('#to-records');
  await two.page.waitForSelector('#records:not([hidden])');
  const started = Date.now();
  await two.page.setInputFiles('#pick-import', path);
  await two.page.locator('#records-said', { hasText: 'imported' }).waitFor({ timeout: 240_000 });
  console.log(`    ${sets} sets, ${megabytes.toFixed(0)} MB of JSON, imported in ${((Date.now() - started) / 1000).toFixed(1)} s`);
  assert.match(await two.page.innerText('#records-said'), new RegExp(`^${sets} imported, 0 already here\\.$`));
  const digest = (/** @type {import('playwright-core').Page} */ page) =>
    page.evaluate(async () => {
      const { keypoints } = await import(/** @type {any} */ (new URL('records/store.js', document.baseURI).href));
      const text = new TextEncoder().encode(JSON.stringify([await keypoints('set-0'), await keypoints('set-7')]));
      return [...new Uint8Array(await crypto.subtle.digest('SHA-256', text))].join(' ');
    });
  assert.equal(await digest(two.page), await digest(one.page), 'to the last digit');
  await one.close();
  await two.close();
});
