// @ts-check
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { gzipSync } from 'node:zlib';
import { strFromU8, unzipSync } from 'fflate';
import { answerBefore, browser, exampleRecording, file, inProject, keptSets, measureOne, open, shownReps, trouble } from './harness.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

/** @param {import('playwright-core').Page} page */
async function exported(page) {
  const [download] = await Promise.all([page.waitForEvent('download'), page.click('text=Export all as one file')]);
  return readFileSync(/** @type {string} */ (await download.path()));
}

test('a set is kept, renamed, opened again with the same numbers, compared, and deleted', async () => {
  const { page, close } = await open(chromium);
  page.on('dialog', (dialog) => dialog.accept());
  await measureOne(page);
  const numbers = await page.innerText('table.reps');
  await measureOne(page);
  assert.equal(await keptSets(page), 2);
  const name = page.locator('table.kept input[type=text]').first();
  await name.fill('Week 2');
  await name.press('Tab');
  await page.waitForFunction(() => document.getElementById('announce')?.textContent === 'Renamed.');
  await page.reload();
  assert.equal(await keptSets(page), 2);
  assert.equal(await page.locator('table.kept input[type=text]').first().inputValue(), 'Week 2');
  await page.locator('table.kept input[type=checkbox]').nth(0).check();
  await page.locator('table.kept input[type=checkbox]').nth(1).check();
  await page.click('text=Compare selected sets');
  // Two copies of one set: nothing can have changed.
  await page.waitForSelector('#comparison table');
  const compared = await page.innerText('#comparison');
  assert.match(compared, /no real change/);
  assert.doesNotMatch(compared, /better|worse/);
  await page.locator('table.kept >> text=Open').first().click();
  await shownReps(page);
  assert.equal(await page.innerText('#result table.reps'), numbers);
  await keptSets(page);
  await page.locator('table.kept >> text=Delete').first().click();
  await page.waitForFunction(() => document.querySelectorAll('table.kept tbody tr').length === 1);
  await close();
});

test('export and import carry everything to another device without loss', async () => {
  const one = await open(chromium, { acceptDownloads: true });
  await measureOne(one.page);
  await keptSets(one.page);
  const packed = await exported(one.page);
  const two = await open(chromium, { acceptDownloads: true });
  await keptSets(two.page);
  await two.page.setInputFiles('#pick-import', file('sets.zip', packed, 'application/zip'));
  await two.page.waitForFunction(() => /1 imported/.test(document.getElementById('records-said')?.textContent ?? ''));
  // Read by another implementation of the zip format than the page's.
  const sets = (/** @type {Buffer} */ bytes) => {
    const parts = unzipSync(bytes);
    const json = (/** @type {string} */ name) => JSON.parse(strFromU8(parts[name]));
    return json('sets.json').sets.map(json);
  };
  assert.equal(sets(packed)[0].recording.frames.length, exampleRecording().frames.length);
  assert.deepEqual(sets(await exported(two.page)), sets(packed));
  // Once more: nothing is doubled.
  await two.page.setInputFiles('#pick-import', file('sets.zip', packed, 'application/zip'));
  await two.page.waitForFunction(() => /1 already here/.test(document.getElementById('records-said')?.textContent ?? ''));
  assert.equal(await two.page.locator('table.kept tbody tr').count(), 1);
  await one.close();
  await two.close();
});

test('an import with less in it (an older export), with a broken set, from a newer version, or of something else', async () => {
  const { page, close } = await open(chromium);
  await keptSets(page);
  const old = { kind: 'underfoot-kept-sets', version: 1, sets: [{ recording: exampleRecording() }, { recording: { layout: 'mine' } }] };
  await page.setInputFiles('#pick-import', file('old.json.gz', gzipSync(JSON.stringify(old)), 'application/gzip'));
  await page.waitForFunction(() => /1 imported.*1 could not be read/.test(document.getElementById('records-said')?.textContent ?? ''));
  await page.setInputFiles('#pick-import', file('new.json', JSON.stringify({ ...old, version: 4 })));
  assert.match(await trouble(page), /newer version/);
  await page.click('#trouble-close');
  await page.setInputFiles('#pick-import', file('other.json', '{}'));
  assert.match(await trouble(page), /not an export/);
  await page.click('#trouble-close');
  await page.setInputFiles('#pick-import', file('cut.zip', Buffer.concat([Buffer.from('PK\u0003\u0004'), Buffer.alloc(200)]), 'application/zip'));
  assert.match(await trouble(page), /damaged or cut short/);
  await close();
});

test('storage full: the result stays on screen and a sentence says what to do', async () => {
  const { page, close } = await open(chromium);
  await page.evaluate(() => {
    IDBObjectStore.prototype.put = () => {
      throw new DOMException('', 'QuotaExceededError');
    };
  });
  await measureOne(page);
  assert.match(await trouble(page), /storage is full.*save it as a file/);
  assert.ok(await page.isVisible('#cue-text'));
  assert.ok(await page.isVisible('text=Save the pose data as a file'));
  assert.ok(await page.isVisible('#keep-again'));
  assert.equal(await keptSets(page), 0, 'nothing is half kept');
  await close();
});

test('a browser that keeps nothing: the result is shown all the same', async () => {
  const { page, close } = await open(chromium);
  await page.addInitScript(() => {
    IDBFactory.prototype.open = () => {
      throw new DOMException('', 'SecurityError');
    };
  });
  await page.reload();
  await page.waitForFunction(() => document.getElementById('block-version')?.textContent !== '…');
  await measureOne(page);
  assert.match(await trouble(page), /saves nothing for this page/);
  assert.ok(await page.isVisible('#cue-text'));
  await close();
});

test('sets from two places of the camera are not compared, and nothing says that nothing changed', async () => {
  const { page, close } = await open(chromium);
  await measureOne(page);
  const buffer = readFileSync(inProject('tests/data/recordings/front-knees-in.json.gz'));
  await page.click('#home');
  await page.setInputFiles('#pick-keypoints', { name: 'front.json.gz', mimeType: 'application/gzip', buffer });
  await answerBefore(page);
  await page.locator('.set-facts', { hasText: 'Filmed from the front, about' }).waitFor();
  assert.equal(await keptSets(page), 2);
  for (const i of [0, 1]) await page.locator('table.kept input[type=checkbox]').nth(i).check();
  await page.click('text=Compare selected sets');
  await page.waitForSelector('#comparison table');
  await page.waitForSelector('.over-time .plot-group');
  const said = `${await page.innerText('#comparison')} ${await page.innerText('.over-time')}`;
  assert.match(said, /not compared: the camera was moved/);
  assert.doesNotMatch(said, /no real change|better|worse/);
  await close();
});

test('two weeks of one cue without help: things to try, and only then', async () => {
  const { page, close } = await open(chromium);
  await measureOne(page);
  await measureOne(page);
  await keptSets(page);
  const ago = (/** @type {number} */ days) => new Date(Date.now() - days * 86_400_000).toISOString().slice(0, 10);
  /** The older of the two, filmed so many days before the other. @param {number} days */
  const filmed = async (days) => {
    await page.fill('table.kept input[type=date] >> nth=1', ago(days));
    await page.waitForFunction(
      (day) => /** @type {HTMLInputElement} */ (document.querySelectorAll('table.kept input[type=date]')[1])?.value === day,
      ago(days),
    );
    await page.waitForSelector('.over-time .plot-group');
  };
  await filmed(12);
  assert.equal(await page.locator('.not-helped').count(), 0);
  await filmed(16);
  await page.waitForSelector('.not-helped');
  const said = await page.innerText('.not-helped');
  // The example's finding is that the weight goes toward the toes.
  assert.match(said, /^The same finding after two weeks: things to try/);
  for (const about of [/Shoes: /, /Ankles: /, /Stance: /, /One at a time/, /If it hurts.*licensed clinician/]) assert.match(said, about);
  // What got better was helped; another finding is another matter.
  const shown = await page.evaluate(
    async (/** @type {[string, string]} */ [then, now]) => {
      const { notHelped } = await import(/** @type {any} */ (new URL('records/not-helped.js', document.baseURI).href));
      const set = (/** @type {string} */ made, /** @type {string} */ kind) => ({ made, report: { finding: { kind } } });
      const change = (/** @type {string} */ check, /** @type {string} */ outcome) => ({ check, outcome });
      const same = [set(then, 'inward'), set(now, 'inward')];
      return [
        notHelped(same, []),
        notHelped(same, [change('load_left_pct', 'better'), change('knee_in_deg', 'worse')]),
        notHelped(same, [change('knee_in_deg', 'better')]),
        notHelped([set(then, 'forward'), set(now, 'inward')], []),
        notHelped([set(then, 'none'), set(now, 'none')], []),
      ].map(Boolean);
    },
    [ago(16), ago(0)],
  );
  assert.deepEqual(shown, [true, true, false, false, false]);
  await close();
});

test('the printed report is one page', async () => {
  const { page, close } = await open(chromium);
  await measureOne(page);
  const pdf = (await page.pdf({ format: 'A4' })).toString('latin1');
  assert.equal(pdf.match(/\/Type\s*\/Page\b/g)?.length, 1);
  await close();
});
