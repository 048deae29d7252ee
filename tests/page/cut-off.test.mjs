// @ts-check
/** A set under way when the tab is closed or the browser ends: what was measured until then is offered at the next start. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { BASE, browser, keptSets, open, shownReps } from './harness.mjs';
import { MADE_UP_CAMERA, counted, standIn, toCounting } from './stand-in.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser(MADE_UP_CAMERA);
});
after(() => chromium.close());

/** @param {import('playwright-core').Page} page */
async function started(page) {
  await page.goto(BASE);
  await page.waitForFunction(() => document.getElementById('block-version')?.textContent !== '…');
  await page.waitForTimeout(500);
}

/** Rows that are written down. @param {import('playwright-core').Page} page @returns {Promise<{ rows: number, bytes: number }>} */
function written(page) {
  return page.evaluate(async () => {
    const db = await new Promise((resolve) => {
      const r = indexedDB.open('underfoot');
      r.onsuccess = () => resolve(r.result);
    });
    const rows = await new Promise((resolve) => {
      const r = db.transaction('under-way').objectStore('under-way').getAll();
      r.onsuccess = () => resolve(r.result);
    });
    db.close();
    return {
      rows: rows.length,
      bytes: rows.reduce((/** @type {number} */ n, /** @type {any} */ row) => n + (row.points?.byteLength ?? 0) + (row.times?.byteLength ?? 0), 0),
    };
  });
}

test('the page’s process dies in the middle of a set: the set is offered, measured, kept, and offered no more', { timeout: 120_000 }, async () => {
  const { page, context, close } = await open(chromium);
  await standIn(page, { stays: true });
  await toCounting(page);
  await counted(page, 2);
  // What is written down is at most a second behind.
  await page.waitForTimeout(1500);
  const { rows, bytes } = await written(page);
  console.log(`    after two repetitions ${rows} rows, ${(bytes / 1e3).toFixed(0)} kB`);

  // A set that is under way here is not offered elsewhere.
  const other = await context.newPage();
  await started(other);
  assert.equal(await other.locator('#waiting .slip').count(), 0);
  await other.close();

  const crashed = page.waitForEvent('crash');
  page.goto('chrome://crash').catch(() => {});
  await crashed;
  const next = await context.newPage();
  await started(next);
  const offer = await next.locator('#waiting .slip').innerText();
  assert.match(offer, /cut off .*: \d+ seconds of it are here/);
  await next.click('text=Show its result');
  assert.ok((await shownReps(next)) >= 2);
  assert.equal(await keptSets(next), 1);
  assert.match(await next.innerText('table.kept'), /from the camera, cut off/);
  await next.click('#home');
  await next.waitForFunction(() => !document.querySelector('#waiting .slip'));
  assert.equal((await written(next)).rows, 0);
  await close();
});

test('a closed tab: the set is offered, and thrown away only when told twice', { timeout: 120_000 }, async () => {
  const { page, context, close } = await open(chromium);
  await standIn(page, { stays: true });
  await toCounting(page);
  await counted(page, 1);
  await page.waitForTimeout(1500);
  await page.close();
  const next = await context.newPage();
  await started(next);
  await next.waitForSelector('#waiting .slip');
  next.once('dialog', (dialog) => dialog.dismiss());
  await next.click('text=Discard');
  assert.equal(await next.locator('#waiting .slip').count(), 1);
  next.once('dialog', (dialog) => dialog.accept());
  await next.click('text=Discard');
  await next.waitForFunction(() => !document.querySelector('#waiting .slip'));
  assert.equal((await written(next)).rows, 0);
  await close();
});

test('a set that could not be kept is still there at the next start; one that ended as it should leaves nothing', { timeout: 120_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page);
  await toCounting(page);
  await counted(page, 1);
  // The storage fills up during the set: what is written down stays, the set itself has no room.
  await page.evaluate(() => {
    const put = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function (...args) {
      if (this.name === 'cards') throw new DOMException('', 'QuotaExceededError');
      return put.apply(this, args);
    };
  });
  await page.click('#end-set');
  await shownReps(page);
  await page.waitForSelector('#keep-again');
  await started(page);
  await page.waitForSelector('#waiting .slip');
  await page.click('text=Show its result');
  await shownReps(page);
  assert.equal(await keptSets(page), 1);
  await page.click('#home');
  await standIn(page);
  await toCounting(page);
  await counted(page, 1);
  await page.keyboard.press('Enter');
  await shownReps(page);
  await page.click('#home');
  assert.deepEqual([await page.locator('#waiting .slip').count(), (await written(page)).rows], [0, 0]);
  await close();
});
