// @ts-check
/** A film of feet and shins: nobody is found, the close-up is offered, marks are dragged, and the set is read without an estimator. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { encodeCheck } from '../../www/share/check-link.js';
import { decodeResult } from '../../www/share/result-file.js';
import { CLOSE, TRUE } from './close-front.mjs';
import { answerBefore, browser, open } from './harness.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

/** Up to the marks: an estimator that finds nobody, and the close-up that is then offered. @param {import('playwright-core').Page} page */
async function toMarks(page) {
  await page.evaluate(async () => {
    const { Estimator } = await import(/** @type {any} */ (new URL('input/estimator.js', document.baseURI).href));
    Estimator.load = async () => ({ name: 'mediapipe-pose-full', estimate: async () => null, close() {} });
  });
  await page.setInputFiles('#pick-video', CLOSE);
  await answerBefore(page);
  await page.click('#work-mark', { timeout: 60_000 });
  await page.waitForSelector('.marking-picture', { timeout: 60_000 });
}

/** Where a place of the film's picture is on the screen. @param {import('playwright-core').Page} page @param {readonly number[]} at */
async function onScreen(page, at) {
  const box = /** @type {NonNullable<Awaited<ReturnType<import('playwright-core').Locator['boundingBox']>>>} */ (
    await page.locator('.marking-picture').boundingBox()
  );
  return { x: box.x + (at[0] / 640) * box.width, y: box.y + (at[1] / 360) * box.height };
}

/** Where a mark is, from what a screen reader is told. @param {import('playwright-core').Page} page @param {string} joint */
async function markAt(page, joint) {
  await page.click(`[data-joint=${joint}]`);
  const said = (await page.getAttribute('.marking-picture', 'aria-label')) ?? '';
  return (said.match(/at (\d+), (\d+)/) ?? []).slice(1).map(Number);
}

/** @param {import('playwright-core').Page} page */
async function readToTheEnd(page) {
  await page.click('[data-go]');
  await page.waitForSelector('#result:not([hidden])', { timeout: 120_000 });
  return page.evaluate(() => document.querySelectorAll('#result .mark-rep').length);
}

test('marks dragged with the mouse, one undone and one moved by keys: the squat is counted', { timeout: 240_000 }, async () => {
  const one = await open(chromium);
  const { page } = one;
  await toMarks(page);
  await page.locator('.marking-picture').scrollIntoViewIfNeeded();
  for (const [joint, to] of Object.entries(TRUE)) {
    const from = await onScreen(page, await markAt(page, joint));
    const till = await onScreen(page, to);
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(till.x, till.y);
    await page.mouse.up();
  }
  const [x, y] = await markAt(page, 'left_knee');
  assert.ok(Math.hypot(x - TRUE.left_knee[0], y - TRUE.left_knee[1]) < 3, `left knee at ${x}, ${y}`);
  await page.locator('.marking-picture').focus();
  await page.keyboard.press('Shift+ArrowRight');
  assert.equal((await markAt(page, 'left_knee'))[0], x + 10);
  await page.click('text=Undo');
  assert.equal((await markAt(page, 'left_knee'))[0], x);
  if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/marks.png`, fullPage: true });
  assert.ok((await readToTheEnd(page)) >= 1);
  if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/marked-result.png`, fullPage: true });
  await toTheCoach(page);
  await one.close();
});

test(
  'the next film from where the phone stood is read from the marks of the last one; from elsewhere they are asked for again',
  { timeout: 240_000 },
  async () => {
    const one = await open(chromium);
    const { page } = one;
    await toMarks(page);
    for (const [joint, [x, y]] of Object.entries(TRUE)) {
      const at = await markAt(page, joint);
      for (const [key, by] of /** @type {[string, number][]} */ ([
        [x > at[0] ? 'ArrowRight' : 'ArrowLeft', Math.abs(x - at[0])],
        [y > at[1] ? 'ArrowDown' : 'ArrowUp', Math.abs(y - at[1])],
      ])) {
        for (let i = 0; i < Math.floor(by / 10); i++) await page.keyboard.press(`Shift+${key}`);
        for (let i = 0; i < Math.round(by % 10); i++) await page.keyboard.press(key);
      }
    }
    const reps = await readToTheEnd(page);
    await page.click('text=Another set');
    await page.setInputFiles('#pick-video', CLOSE);
    await answerBefore(page);
    await page.locator('#work-now', { hasText: 'The phone has not moved: the marks of the last set are used.' }).waitFor({ timeout: 60_000 });
    assert.ok(await page.isHidden('#work-marking'), 'nothing is asked');
    if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/marks-again.png`, fullPage: true });
    await page.waitForSelector('#result:not([hidden])', { timeout: 120_000 });
    assert.equal(await page.evaluate(() => document.querySelectorAll('#result .mark-rep').length), reps);
    await page.click('text=Another set');
    await page.setInputFiles('#pick-video', { name: 'moved.webm', mimeType: 'video/webm', buffer: await filmedFromElsewhere(page) });
    await answerBefore(page);
    // Nobody is found in it, which asks by itself.
    await page.waitForSelector('.marking-picture', { timeout: 60_000 });
    assert.match(await page.innerText('#work-marking'), /The phone moved: show me again\./);
    if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/marks-moved.png`, fullPage: true });
    await page.click('#work-marking >> text=Cancel');
    await page.waitForSelector('#start:not([hidden])');
    await one.close();
  },
);

/** The film's first second as a phone that was moved a little would have filmed it. @param {import('playwright-core').Page} page */
async function filmedFromElsewhere(page) {
  const film = readFileSync(CLOSE).toString('base64');
  const moved = await page.evaluate(async (base64) => {
    const at = (/** @type {string} */ path) => import(/** @type {any} */ (new URL(path, document.baseURI).href));
    const [{ openVideo }, { FilmMaker }] = await Promise.all(['input/video-file.js', 'live/film-maker.js'].map(at));
    const video = await openVideo(new File([Uint8Array.from(atob(base64), (c) => c.charCodeAt(0))], 'a.webm', { type: 'video/webm' }));
    const maker = await FilmMaker.start(video.width, video.height);
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [video.width, video.height];
    const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
    for await (const { picture, t_ms } of video.frames()) {
      if (t_ms > 1400) break;
      pen.drawImage(picture, 12, 5);
      maker.add(canvas, t_ms);
      while (maker.busy) await new Promise((resolve) => setTimeout(resolve));
    }
    const { file } = await maker.finish();
    return Array.from(new Uint8Array(await file.arrayBuffer()));
  }, film);
  return Buffer.from(moved);
}

/** The saved set serves a check: its marks are in the file, and the desk computes the same from it. @param {import('playwright-core').Page} page */
async function toTheCoach(page) {
  const [top] = page.url().split('#');
  const check = encodeCheck({ checks: ['knee_in_deg'], views: ['front'], reps: 1, load: '', thresholds: {}, cue: '', message: '', coach: 'Coach R', ref: 7 });
  await page.goto('about:blank');
  await page.goto(`${top}#${check}`);
  await page.waitForSelector('#asked:not([hidden]) .asked-views');
  await page.click('#to-records');
  await page.click('table.kept >> text=Open');
  await page.click('text=Use this set for the check');
  await page.click('#send-back');
  assert.match(await page.innerText('#in-it'), /marked the joints/);
  const [download] = await Promise.all([page.waitForEvent('download'), page.click('#save-result')]);
  const buffer = readFileSync(/** @type {string} */ (await download.path()));
  const { marks } = decodeResult(buffer).sets[0].recording;
  for (const [joint, [x, y]] of Object.entries(TRUE)) {
    const at = marks.joints[joint];
    assert.ok(Math.hypot(at[0] - x, at[1] - y) < 3, `${joint} at ${at}`);
  }
  await page.click('#to-coach');
  await page.setInputFiles('#pick-results', { name: 'a.underfoot', mimeType: '', buffer });
  await page.locator('#desk-said', { hasText: 'Added 1 result' }).waitFor();
  await page.click('.client button');
  await page.waitForSelector('#cue-to-give');
  assert.match(await page.innerText('#coach'), /equal to the client’s numbers/);
  await page.click('text=Replay and curves');
  await page.waitForSelector('#result:not([hidden]) .player canvas');
}

test('a finger drags on a phone; nothing to press is smaller than 44 px', { timeout: 120_000 }, async () => {
  const one = await open(chromium, { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
  const { page } = one;
  await toMarks(page);
  await page.locator('.marking-picture').scrollIntoViewIfNeeded();
  const at = await markAt(page, 'right_knee');
  await page.locator('.marking-picture').scrollIntoViewIfNeeded();
  const [from, till] = [await onScreen(page, at), await onScreen(page, TRUE.right_knee)];
  const touch = await page.context().newCDPSession(page);
  const send = (/** @type {string} */ type, /** @type {{ x: number, y: number } | null} */ p) =>
    touch.send('Input.dispatchTouchEvent', /** @type {any} */ ({ type, touchPoints: p ? [p] : [] }));
  await send('touchStart', from);
  await send('touchMove', { x: (from.x + till.x) / 2, y: (from.y + till.y) / 2 });
  await send('touchMove', till);
  await send('touchEnd', null);
  const [x, y] = await markAt(page, 'right_knee');
  assert.ok(Math.hypot(x - TRUE.right_knee[0], y - TRUE.right_knee[1]) < 4, `${x}, ${y}`);
  for (const button of await page.locator('#work-marking button').all()) {
    const box = await button.boundingBox();
    assert.ok(box && box.height >= 43.5 && box.width >= 43.5, `${await button.innerText()} ${JSON.stringify(box)}`);
  }
  if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/marks-phone.png`, fullPage: true });
  await page.click('#work-marking >> text=Cancel');
  await page.waitForSelector('#start:not([hidden])');
  await one.close();
});
