// @ts-check
/** What keeps a lifter from having to look: the screen stays on, tones and words say how it goes. */
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { browser, open, shownReps } from './harness.mjs';
import { MADE_UP_CAMERA, counted, standIn, toCamera, toCounting } from './stand-in.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser([...MADE_UP_CAMERA, '--autoplay-policy=no-user-gesture-required']);
});
after(() => chromium.close());

/** Writes down what is spoken, and at which volume. @param {import('playwright-core').Page} page */
async function listen(page) {
  await page.evaluate(() => {
    const said = /** @type {any} */ (window.said = /** @type {{ text: string, volume: number }[]} */ ([]));
    speechSynthesis.speak = (utterance) => {
      said.push({ text: utterance.text, volume: utterance.volume });
    };
  });
  return () => page.evaluate(() => /** @type {any} */ (window).said);
}

test('the screen is asked to stay on, again after the tab was away, and let go afterwards', { timeout: 60_000 }, async () => {
  const { page, close } = await open(chromium);
  await page.evaluate(() => {
    const locks = /** @type {any} */ (window.locks = { asked: 0, released: 0 });
    navigator.wakeLock.request = async (type) => {
      if (type !== 'screen') throw new TypeError('Screen Wake Lock specification: the type is "screen"');
      locks.asked += 1;
      return /** @type {any} */ ({
        release: async () => {
          locks.released += 1;
        },
      });
    };
  });
  const locks = () => page.evaluate(() => /** @type {any} */ (window).locks);
  await standIn(page, { stays: true });
  await toCamera(page);
  await page.waitForSelector('.sight li');
  assert.equal((await locks()).asked, 1);
  // A lock ends when the page is hidden (Screen Wake Lock, "handling document loss of visibility").
  await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
  await page.waitForFunction(() => /** @type {any} */ (window).locks.asked === 2);
  await page.waitForSelector('#live.counting', { timeout: 20_000 });
  await page.click('#end-set');
  await page.waitForSelector('#result:not([hidden])');
  await page.waitForFunction(() => /** @type {any} */ (window).locks.released >= 1);
  await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
  assert.equal((await locks()).asked, 2, 'after the set the screen may sleep');
  await close();
});

test('nothing is spoken unless it is asked for', { timeout: 90_000 }, async () => {
  const { page, close } = await open(chromium);
  const said = await listen(page);
  await standIn(page);
  await toCounting(page);
  await counted(page, 2);
  await page.click('#end-set');
  await shownReps(page);
  assert.deepEqual(await said(), []);
  await close();
});

test('asked for: the count, and at most one short word for a fault, at the chosen volume', { timeout: 90_000 }, async () => {
  const { page, close } = await open(chromium);
  const said = await listen(page);
  await standIn(page);
  await toCamera(page);
  await page.waitForSelector('#live:not([hidden])');
  await page.check('text=Say the count');
  await page.locator('#live input[type=range]').fill('0.3');
  await page.waitForSelector('#live.counting', { timeout: 20_000 });
  await counted(page, 3);
  const words = await said();
  assert.equal(words[0].text, 'go');
  for (const [i, { text, volume }] of words.slice(1).entries()) {
    const [count, fault, ...more] = text.split(', ');
    assert.equal(count, String(i + 1));
    assert.deepEqual(more, []);
    assert.ok(!fault || fault.split(' ').length <= 2, fault);
    assert.ok(Math.abs(volume - 0.3) < 1e-6);
  }
  // The lifter of this clip lets the knees come in.
  assert.ok(
    words.some((/** @type {any} */ w) => w.text.includes('knees out')),
    JSON.stringify(words),
  );
  await page.click('#end-set');
  const reps = await shownReps(page);
  // The result, once and in one go: how many, what was found, what to do.
  const after_ = (await said()).slice(words.length).filter((/** @type {any} */ w) => !/^\d+(, .*)?$/.test(w.text));
  assert.equal(after_.length, 1, JSON.stringify(after_));
  const [{ text: line, volume }] = after_;
  assert.ok(line.startsWith(`${reps} reps. `), line);
  assert.ok(line.includes(await page.innerText('.cue .finding')), line);
  assert.ok(line.endsWith(await page.innerText('#cue-text')), line);
  assert.doesNotMatch(line, /\n|undefined|null/);
  assert.ok(Math.abs(volume - 0.3) < 1e-6);
  await close();
});

test('one word per repetition: the heels go before the knees, the knees before the arches', async () => {
  const { page, close } = await open(chromium);
  const word = (/** @type {any} */ rep) =>
    page.evaluate(async (r) => {
      const { faultWord } = await import(/** @type {any} */ (new URL('live/sounds.js', document.baseURI).href));
      return faultWord(r);
    }, rep);
  const fault = (/** @type {number} */ value) => ({ verdict: 'fault', value });
  const clear = { verdict: 'clear', value: 0 };
  assert.equal(await word({ heel_lift_mm: { left: clear, right: fault(20) }, knee_in_deg: { left: fault(12), right: clear } }), 'heels');
  assert.equal(await word({ heel_lift_mm: { left: clear, right: clear }, knee_in_deg: { left: fault(12), right: clear } }), 'knees out');
  assert.equal(await word({ knee_in_deg: { left: fault(-12), right: clear } }), 'big toes');
  assert.equal(await word({ knee_in_deg: { left: { verdict: 'unsure', value: 12 }, right: clear }, forward_pct: clear }), null);
  await close();
});
