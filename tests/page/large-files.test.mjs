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

for (const [name, expected] of /** @type {[string, RegExp][]} */ ([['set.json', /too large.*cut it to one set/], ['set.mp4', /can’t decode the video/]])) {
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
