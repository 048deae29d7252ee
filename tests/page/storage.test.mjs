// @ts-check
/** What is kept on the device must outlast everything: older versions, other tabs, crashes. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { BASE, answerBefore, browser, exampleRecording, file, keptSets, measureOne, open, shownReps, trouble } from './harness.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

/**
 * The database as version 1 of it was, with the sets that are kept now. Its form is written out here on purpose:
 * later versions of the page must go on reading it.
 * @param {import('playwright-core').Page} page
 */
function backToVersionOne(page) {
  return page.evaluate(async () => {
    const done = (/** @type {IDBRequest} */ request) =>
      new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
      });
    const now = await done(indexedDB.open('underfoot'));
    const all = await Promise.all(['cards', 'keypoints'].map((name) => done(now.transaction(name).objectStore(name).getAll())));
    now.close();
    await done(indexedDB.deleteDatabase('underfoot'));
    const opening = indexedDB.open('underfoot', 1);
    opening.onupgradeneeded = () => {
      opening.result.createObjectStore('cards', { keyPath: 'id' }).createIndex('made', 'made');
      opening.result.createObjectStore('keypoints', { keyPath: 'id' });
    };
    const old = await done(opening);
    const tx = old.transaction(['cards', 'keypoints'], 'readwrite');
    for (const card of all[0]) tx.objectStore('cards').put(card);
    for (const row of all[1]) tx.objectStore('keypoints').put(row);
    await new Promise((resolve) => {
      tx.oncomplete = resolve;
    });
    old.close();
  });
}

test('sets that an older version kept are there after the upgrade, with the same numbers', async () => {
  const { page, close } = await open(chromium);
  await measureOne(page);
  const numbers = await page.innerText('table.reps');
  await page.reload();
  await page.waitForFunction(() => document.getElementById('block-version')?.textContent !== '…');
  await backToVersionOne(page);
  assert.equal(await keptSets(page), 1);
  await page.locator('table.kept >> text=Open').click();
  await shownReps(page);
  assert.equal(await page.innerText('#result table.reps'), numbers);
  await measureOne(page);
  assert.equal(await keptSets(page), 2);
  await close();
});

test('another tab still shows an older version and holds the sets: a sentence, and nothing lost once it is closed', { timeout: 120_000 }, async () => {
  const { page, context, close } = await open(chromium);
  await measureOne(page);
  await page.goto('about:blank');
  const stuck = await context.newPage();
  // A file of the same origin: the page itself would bring the database up to date.
  await stuck.goto(`${BASE}style/print.css`);
  await backToVersionOne(stuck);
  // Holds version 1 open and, unlike this page's own versions, does not let go when asked.
  await stuck.evaluate(
    () =>
      new Promise((resolve, reject) => {
        const opening = indexedDB.open('underfoot', 1);
        opening.onsuccess = () => {
          /** @type {any} */ (window).held = opening.result;
          resolve(null);
        };
        opening.onerror = () => reject(opening.error);
      }),
  );
  await page.goto(BASE);
  await page.waitForFunction(() => document.getElementById('block-version')?.textContent !== '…');
  await page.click('#to-records');
  assert.match(await trouble(page), /Another tab.*close that tab/);
  // A set that is measured meanwhile stays on screen.
  await measureOne(page);
  assert.ok(await page.isVisible('#cue-text'));
  assert.match(await trouble(page), /Another tab/);
  await stuck.close();
  // Kept after all, once it can be.
  await page.click('#keep-again');
  await page.waitForSelector('#keep-again', { state: 'detached' });
  assert.equal(await keptSets(page), 2);
  await close();
});

test('a newer version in another tab may change the form; this tab then says so and loses nothing', async () => {
  const { page, context, close } = await open(chromium);
  await measureOne(page);
  assert.equal(await keptSets(page), 1);
  const newer = await context.newPage();
  await newer.goto(BASE);
  const upgraded = await newer.evaluate(
    () =>
      new Promise((resolve) => {
        const opening = indexedDB.open('underfoot', 99);
        opening.onsuccess = () => {
          const db = opening.result;
          resolve([...db.objectStoreNames].sort());
          db.close();
        };
        opening.onblocked = () => resolve('blocked');
      }),
  );
  assert.deepEqual(upgraded, ['cards', 'films', 'keypoints', 'under-way'], 'this tab let go');
  await page.click('#to-coach');
  await page.click('#to-records');
  assert.match(await trouble(page), /newer version of this page: load the page again/);
  await close();
});

test('a set deleted in another tab is not half brought back by a change here', async () => {
  const { page, context, close } = await open(chromium);
  await measureOne(page);
  await keptSets(page);
  const other = await context.newPage();
  other.on('dialog', (dialog) => dialog.accept());
  await other.goto(BASE);
  await other.waitForFunction(() => document.getElementById('block-version')?.textContent !== '…');
  assert.equal(await keptSets(other), 1);
  await other.locator('table.kept >> text=Delete').first().click();
  await other.waitForFunction(() => !document.querySelector('table.kept'));
  const name = page.locator('table.kept input[type=text]');
  await name.fill('Week 2');
  await name.press('Tab');
  assert.match(await trouble(page), /deleted in another tab/);
  await page.reload();
  await page.waitForFunction(() => document.getElementById('block-version')?.textContent !== '…');
  assert.equal(await keptSets(page), 0);
  await close();
});

test('a crash in the middle of a save: what was kept stays, the new set is there whole or not at all', { timeout: 120_000 }, async () => {
  const { page, context, close } = await open(chromium);
  await measureOne(page);
  await page.reload();
  await page.waitForFunction(() => document.getElementById('block-version')?.textContent !== '…');
  // The page's process dies while a transaction has written its card but not its keypoints.
  await page.evaluate(() => {
    const put = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function (value) {
      if (this.name !== 'keypoints') return put.call(this, value);
      /** @type {any} */ (window).midSave = true;
      // Keeps the transaction alive, unfinished.
      const again = () => {
        const r = this.count();
        r.onsuccess = again;
        return r;
      };
      return /** @type {any} */ (again());
    };
  });
  await page.setInputFiles('#pick-keypoints', file('set.json', JSON.stringify(exampleRecording())));
  await answerBefore(page);
  await page.waitForFunction(() => /** @type {any} */ (window).midSave);
  const crashed = page.waitForEvent('crash');
  page.goto('chrome://crash').catch(() => {});
  await crashed;
  const next = await context.newPage();
  await next.goto(BASE);
  await next.waitForFunction(() => document.getElementById('block-version')?.textContent !== '…');
  assert.equal(await keptSets(next), 1);
  await next.locator('table.kept >> text=Open').click();
  assert.ok((await shownReps(next)) >= 3);
  await close();
});
