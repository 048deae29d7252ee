// @ts-check
/** The result: looking before reading, plots that can't be misread, small screens, and what becomes of a set. */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { CLIP, answerBefore, browser, exampleRecording, file, inProject, keptSets, measureOne, open, shownReps, trouble } from './harness.mjs';
import { standIn } from './stand-in.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

/** @param {import('playwright-core').Page} page */
async function example(page) {
  await page.goto(`${page.url().split('#')[0]}#/example/result`);
  await shownReps(page);
}

test('the picture stops where the fault shows most, with the fault drawn on it, and plays that rep', async () => {
  const { page, close } = await open(chromium);
  await example(page);
  const said = await page.innerText('.picture-said');
  const [, rep, degrees] = said.match(/^Rep (\d+), where it shows most: (?:Left|Right) knee (\d+) degrees inside the foot’s line/) ?? [];
  assert.ok(rep, said);
  // The same number stands in the table, as a fault of that rep.
  const cells = await page.locator('table.by-rep td.fault').allInnerTexts();
  assert.ok(
    cells.some((text) => text.includes(`${degrees} in`)),
    `${degrees} in ${cells}`,
  );
  const drawn = () =>
    page.evaluate(() => {
      const c = /** @type {HTMLCanvasElement} */ (document.querySelector('.marks-over'));
      return (
        /** @type {CanvasRenderingContext2D} */ (c.getContext('2d')).getImageData(0, 0, c.width, c.height).data.filter((v, i) => i % 4 === 3 && v > 0).length /
        (c.width * c.height)
      );
    });
  const share = await drawn();
  assert.ok(share > 0.01 && share < 0.4, `marks cover ${share} of the picture`);
  const at = () => page.textContent('.clock');
  const stopped = await at();
  await page.click('.play-rep');
  await page.waitForFunction((was) => document.querySelector('.clock')?.textContent !== was, stopped);
  await page.waitForFunction(
    (was) => document.querySelector('.clock')?.textContent === was && document.querySelector('.play')?.textContent !== 'Pause',
    stopped,
    { timeout: 20_000 },
  );
  await close();
});

test('the film of a read video is stopped at the same moment under the same marks', { timeout: 120_000 }, async () => {
  const { page, close } = await open(chromium);
  await standIn(page, { stays: true, live: false });
  await page.setInputFiles('#pick-video', CLIP);
  await answerBefore(page);
  await shownReps(page, 90_000);
  await page.waitForFunction(() => {
    const v = /** @type {HTMLVideoElement} */ (document.querySelector('#result video'));
    return v.readyState >= 2 && !v.seeking;
  });
  const { t, clock, marks } = await page.evaluate(() => ({
    t: /** @type {HTMLVideoElement} */ (document.querySelector('#result video')).currentTime,
    clock: Number.parseFloat(document.querySelector('.clock')?.textContent ?? ''),
    marks: /** @type {HTMLCanvasElement} */ (document.querySelector('.marks-over')).getBoundingClientRect().width,
  }));
  assert.ok(Math.abs(t - clock) < 0.2 && clock > 1, `video at ${t}, clock ${clock}`);
  assert.ok(marks > 100);
  await close();
});

test('in a front view the soles turn with the view: toes down, the right foot on the left', async () => {
  const { page, close } = await open(chromium);
  await page.setInputFiles('#pick-keypoints', {
    name: 'front.json.gz',
    mimeType: 'application/gzip',
    buffer: readFileSync(inProject('tests/data/recordings/front-knees-in.json.gz')),
  });
  await answerBefore(page);
  await shownReps(page);
  const [left, right] = await page
    .locator('.sole-name')
    .evaluateAll((names) => names.map((n) => ({ word: n.textContent, x: n.getBoundingClientRect().x, y: n.getBoundingClientRect().y })));
  assert.deepEqual([left.word, right.word], ['Left', 'Right']);
  assert.ok(right.x < left.x, 'as the camera sees the lifter');
  const soles = await page.locator('.sole-now').first().boundingBox();
  assert.ok(soles && left.y < soles.y + soles.height / 2, 'the names stand at the heels, which are up');
  // From the side the names stand beside the heels, and none is cut off.
  await page.click('#home');
  const side = readFileSync(inProject('tests/data/clips/dev-side-clean.pose.json.gz'));
  await page.setInputFiles('#pick-keypoints', { name: 'side.json.gz', mimeType: 'application/gzip', buffer: side });
  await answerBefore(page);
  await page.waitForFunction(() => /from the lifter/.test(document.querySelector('.set-facts')?.textContent ?? ''));
  const cut = await page.evaluate(() => {
    const box = /** @type {Element} */ (document.querySelector('.soles-now')).getBoundingClientRect();
    return [...document.querySelectorAll('.sole-name')].filter((name) => {
      const { left: from, right: to, top, bottom } = name.getBoundingClientRect();
      return from < box.left || to > box.right || top < box.top || bottom > box.bottom;
    }).length;
  });
  assert.equal(cut, 0);
  await close();
});

test('every plot has its fault line in view, a name with its side, and unseen sides say so', async () => {
  const { page, close } = await open(chromium);
  await page.addInitScript(() => {
    const texts = Object.assign(window, { texts: /** @type {string[]} */ ([]) }).texts;
    const { fillText } = CanvasRenderingContext2D.prototype;
    CanvasRenderingContext2D.prototype.fillText = function fill(text, ...rest) {
      if (this.canvas.closest('.plot-group')) texts.push(`${text}${rest[1] > 0 && rest[1] < this.canvas.height ? '' : ' OUT OF VIEW'}`);
      return fillText.call(this, text, ...rest);
    };
  });
  await page.reload();
  await example(page);
  await page.click('.other-plots summary');
  await page.waitForTimeout(300);
  const titles = await page.locator('.u-title').allInnerTexts();
  assert.ok(titles.includes('Left knee') && titles.includes('Right heel'), titles.join());
  const lines = (await page.evaluate(() => /** @type {any} */ (window).texts)).filter((/** @type {string} */ t) => t.startsWith('fault'));
  // The lines that the package itself gives.
  const { high } = await page.evaluate(async () => {
    const { core } = await import(/** @type {any} */ (new URL('app/core.js', document.baseURI).href));
    return (await core()).defaultThresholds().knee_in_deg;
  });
  assert.ok(
    lines.some((/** @type {string} */ t) => t.includes(`over ${high} in`)),
    lines.join(),
  );
  assert.ok(
    lines.every((/** @type {string} */ t) => !t.includes('OUT OF VIEW')),
    lines.join(),
  );
  await close();
});

test('a phone needs three screens at most, and nothing scrolls sideways at 320 px or with text at 200 %', { timeout: 120_000 }, async () => {
  for (const [width, height, zoom] of [
    [390, 844, 1],
    [320, 640, 1],
    [640, 800, 2],
  ]) {
    const { page, close } = await open(chromium, { viewport: { width, height } });
    /** @param {string} what @param {number} [most] screens */
    const look = async (what, most) => {
      await page.evaluate((z) => {
        document.documentElement.style.fontSize = `${100 * z}%`;
      }, zoom);
      await page.waitForTimeout(300);
      const [wider, screens] = await page.evaluate(() => [
        document.documentElement.scrollWidth - innerWidth,
        document.documentElement.scrollHeight / innerHeight,
      ]);
      assert.ok(wider <= 0, `${what} at ${width} px, ${100 * zoom} %: ${wider} px too wide`);
      if (width !== 390 || !most) return;
      console.log(`    ${what}: ${screens.toFixed(2)} screens of a phone`);
      assert.ok(screens <= most, `${what}: ${screens} screens`);
    };
    const top = page.url().split('#')[0];
    await look('start', 2);
    await page.goto(`${top}#/saved`);
    await look('saved sets');
    await page.goto(`${top}#/example/result`);
    await shownReps(page);
    await look('result of the example', 3);
    // From the front: what can't be judged from there is said, and a second set is offered.
    await page.click('#home');
    const buffer = readFileSync(inProject('tests/data/recordings/front-knees-in.json.gz'));
    await page.setInputFiles('#pick-keypoints', { name: 'front.json.gz', mimeType: 'application/gzip', buffer });
    await answerBefore(page);
    await shownReps(page);
    await page.waitForSelector('.second');
    await look('result from the front', 3);
    await close();
  }
});

test('what a phone folds away opens with a tap or a key, and is printed', async () => {
  const { page, close } = await open(chromium, { viewport: { width: 390, height: 844 } });
  await example(page);
  const hidden = ['.table-said', '#result .notes-section li >> nth=0', '#result .plot-section .plots >> nth=0', '#result >> text=Share as a picture'];
  for (const what of hidden) assert.ok(!(await page.isVisible(what)), what);
  // The first caution is never folded.
  assert.ok(await page.isVisible('.cautions li >> nth=0'));
  await page.click('summary:has-text("How to read it")');
  assert.ok(await page.isVisible('.table-said'));
  await page.focus('#result .notes-section summary');
  await page.keyboard.press('Enter');
  assert.ok(await page.isVisible(hidden[1]));
  await page.evaluate(() => {
    addEventListener('beforeprint', () => {
      const closed = [...document.querySelectorAll('#result details.fold')].filter((one) => !(/** @type {HTMLDetailsElement} */ (one).open));
      document.body.dataset.closedInPrint = String(closed.length);
    });
  });
  const open_ = () => page.locator('#result details.fold[open]').count();
  const before_ = await open_();
  assert.equal(before_, 2);
  const pdf = (await page.pdf({ format: 'A4' })).toString('latin1');
  assert.equal(pdf.match(/\/Type\s*\/Page\b/g)?.length, 1);
  assert.equal(await page.getAttribute('body', 'data-closed-in-print'), '0');
  assert.equal(await open_(), before_, 'as it was before');
  await close();
});

test('headings are in order, and there is one landmark of each kind', async () => {
  const { page, close } = await open(chromium);
  for (const to of ['', '#/example/result', '#/saved', '#/coach']) {
    await page.goto(`${page.url().split('#')[0]}${to}`);
    if (to.includes('example')) await shownReps(page);
    await page.waitForTimeout(400);
    const { levels, marks } = await page.evaluate(() => ({
      levels: [...document.querySelectorAll('h1, h2, h3, h4')].filter((h) => /** @type {HTMLElement} */ (h).offsetParent).map((h) => Number(h.tagName[1])),
      marks: ['main', 'body > header', 'nav', 'body > footer'].map((s) => document.querySelectorAll(s).length),
    }));
    assert.deepEqual(marks, [1, 1, 1, 1], to);
    assert.equal(levels[0], 1, to);
    assert.equal(levels.filter((l) => l === 1).length, 1, to);
    levels.forEach((level, i) => assert.ok(i === 0 || level <= levels[i - 1] + 1, `${to}: ${levels}`));
  }
  await close();
});

test('feet and pounds are remembered, and the recording is in metres and kilograms all the same', async () => {
  const { page, close } = await open(chromium);
  await page.setInputFiles('#pick-keypoints', file('set.json', JSON.stringify({ ...exampleRecording(), lifter: undefined, load: undefined })));
  await page.waitForSelector('#before[open]');
  await page.selectOption('#before select[name=units]', 'metric');
  await page.fill('#before input[name=height]', '180');
  await page.fill('#before input[name=bar]', '100');
  await page.selectOption('#before select[name=units]', 'imperial');
  // 180 cm is 5 ft 10.87 in, 100 kg is 220.46 lb (international yard and pound, 1959).
  assert.deepEqual(
    await page
      .locator('#before input[name=feet], #before input[name=inches], #before input[name=bar]')
      .evaluateAll((all) => all.map((i) => /** @type {HTMLInputElement} */ (i).value)),
    ['5', '11', '220.5'],
  );
  await page.selectOption('#before select[name=carry]', 'back');
  await answerBefore(page);
  await shownReps(page);
  assert.match(await page.innerText('.set-facts'), /22[01] lb, bar on the back/);
  const [download] = await Promise.all([page.waitForEvent('download'), page.click('text=Save the pose data as a file')]);
  const { lifter, load } = JSON.parse(readFileSync(/** @type {string} */ (await download.path()), 'utf8'));
  assert.ok(Math.abs(lifter.height_m - 1.8034) < 0.001 && Math.abs(load.bar_kg - 100) < 0.1, JSON.stringify({ lifter, load }));
  await close();
});

test('an old set goes to its own day, in the list and in the trend; the list says load and side', async () => {
  const { page, close } = await open(chromium);
  await measureOne(page);
  await measureOne(page);
  await keptSets(page);
  assert.match(await page.innerText('table.kept tbody tr >> nth=0'), /bar on the back/);
  await page.fill('table.kept input[type=date] >> nth=0', '2020-02-03');
  await page.waitForFunction(() => /** @type {HTMLInputElement} */ (document.querySelectorAll('table.kept input[type=date]')[1])?.value === '2020-02-03');
  await page.click('table.kept tbody tr >> nth=1 >> text=Open');
  await shownReps(page);
  assert.match(await page.innerText('.set-facts'), /2020/);
  await close();
});

test('a set without a rep is not saved silently; a result can be saved as a picture', async () => {
  const { page, close } = await open(chromium);
  const set = exampleRecording();
  // Standing still all the time: the frames before the first rep, over and over.
  const frames = set.frames.slice(0, 20);
  await page.setInputFiles(
    '#pick-keypoints',
    file('still.json', JSON.stringify({ ...set, frames: Array.from({ length: 160 }, (_, i) => ({ ...frames[i % 20], t_ms: i * 40 })) })),
  );
  await answerBefore(page);
  assert.match(await trouble(page), /No rep was counted, so this set is not saved/);
  assert.equal(await keptSets(page), 0);
  await example(page);
  const [download] = await Promise.all([page.waitForEvent('download'), page.click('text=Share as a picture')]);
  const png = readFileSync(/** @type {string} */ (await download.path()));
  // Width and height of a PNG file (ISO/IEC 15948, 11.2.2).
  assert.deepEqual([png.readUInt32BE(16), png.readUInt32BE(20)], [1080, 1350]);
  assert.ok(png.length > 20_000);
  await close();
});
