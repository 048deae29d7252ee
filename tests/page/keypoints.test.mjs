// @ts-check
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { gzipSync } from 'node:zlib';
import { answerBefore, browser, exampleRecording, file, open, shownReps, trouble } from './harness.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

test('a keypoints file opens, plain and gzipped, with the same result', async () => {
  const text = JSON.stringify(exampleRecording());
  const seen = [];
  for (const chosen of [file('set.json', text), file('set.json.gz', gzipSync(text), 'application/gzip')]) {
    const { page, close } = await open(chromium);
    await page.setInputFiles('#pick-keypoints', chosen);
    await answerBefore(page);
    assert.ok((await shownReps(page)) >= 3);
    seen.push(await page.innerText('table.reps'));
    await close();
  }
  assert.equal(seen[0], seen[1]);
});

test('a file can be dropped on the page', async () => {
  const { page, close } = await open(chromium);
  const text = JSON.stringify(exampleRecording());
  await page.evaluate((content) => {
    const data = new DataTransfer();
    data.items.add(new File([content], 'set.json', { type: 'application/json' }));
    dispatchEvent(new DragEvent('drop', { dataTransfer: data, bubbles: true, cancelable: true }));
  }, text);
  await answerBefore(page);
  assert.ok((await shownReps(page)) >= 3);
  await close();
});

test('a yes to pain shows the advice to stop before anything else', async () => {
  const { page, close } = await open(chromium);
  await page.setInputFiles('#pick-keypoints', file('set.json', JSON.stringify(exampleRecording())));
  await page.waitForSelector('#before[open]');
  assert.equal(await page.locator('#before input[name=hurts]:checked').count(), 0, 'nothing is answered for the lifter');
  await page.check('#before input[name=hurts][value=yes]');
  assert.match(await page.innerText('#before-advice'), /stop and see a licensed clinician/);
  assert.match(await page.innerText('#before button[type=submit]'), /cleared/);
  await page.click('#before button[value=back]');
  assert.ok(await page.isVisible('#start'));
  await close();
});

/** @type {[string, () => { name: string, mimeType: string, buffer: Buffer }, RegExp][]} */
const BAD = [
  ['empty', () => file('a.json', ''), /empty/],
  ['not JSON', () => file('a.json', 'hello'), /isn’t JSON/],
  ['a list', () => file('a.json', '[1,2]'), /needs “layout”/],
  ['damaged gzip', () => file('a.json.gz', gzipSync('{"layout":1}').subarray(0, 18), 'application/gzip'), /damaged/],
  ['over the limit once unpacked', () => file('a.json.gz', gzipSync(Buffer.alloc(160e6, 32)), 'application/gzip'), /too large/],
];
for (const [name, make, expected] of BAD) {
  test(`keypoints file that is ${name}: one sentence`, async () => {
    const { page, close } = await open(chromium);
    await page.setInputFiles('#pick-keypoints', make());
    assert.match(await trouble(page), expected);
    assert.ok(await page.isVisible('#start'));
    await close();
  });
}

test('a text file, a photo, a document and a JSON file of something else are named for what they are, before any question', async () => {
  const { page, close } = await open(chromium);
  for (const [chosen, expected] of /** @type {[any, RegExp][]} */ ([
    [file('notes.txt', 'Week 3: heels felt light', 'text/plain'), /notes.txt is a text file/],
    // The first bytes of a JPEG file (ISO/IEC 10918-1) and of a PDF file (ISO 32000-1).
    [file('squat.jpg', Buffer.from('ffd8ffe000104a464946', 'hex'), 'image/jpeg'), /squat.jpg is a photo/],
    [file('IMG_1', Buffer.from('ffd8ffe000104a464946', 'hex'), ''), /IMG_1 is a photo/],
    [file('plan.pdf', '%PDF-1.7', 'application/pdf'), /PDF document/],
    [file('package.json', '{"name": "x"}'), /has no “layout”, “image”, “frames”/],
  ])) {
    for (const input of ['#pick-video', '#pick-keypoints']) {
      await page.setInputFiles(input, chosen);
      assert.match(await trouble(page), expected);
      assert.equal(await page.locator('#before[open]').count(), 0);
      await page.click('#trouble-close');
    }
  }
  await close();
});

/** @type {[string, (r: any) => void, RegExp][]} */
const WRONG = [
  [
    'no picture size',
    (r) => {
      delete r.image;
    },
    /no “image”/,
  ],
  [
    'an unknown layout',
    (r) => {
      r.layout = 'mine';
    },
    /layout/,
  ],
  [
    'a wrong count of points',
    (r) => {
      r.frames[5].points.pop();
    },
    /frames\[5\]\.points/,
  ],
  [
    'a value that is no number',
    (r) => {
      r.frames[12].points[24][0] = 'x';
    },
    /frames\[12\]\.points\[24\]/,
  ],
  [
    'times that go back',
    (r) => {
      r.frames[9].t_ms = 0;
    },
    /frames\[9\]\.t_ms/,
  ],
  [
    'no frames',
    (r) => {
      r.frames = [];
    },
    /frames/,
  ],
  [
    'nobody in it',
    (r) => {
      r.frames.forEach((/** @type {any} */ f) => {
        f.points = null;
      });
    },
    /Nobody was found/,
  ],
];
for (const [name, spoil, expected] of WRONG) {
  test(`recording with ${name}: one sentence that names the field, and the result on screen stays`, async () => {
    const { page, close } = await open(chromium);
    await page.setInputFiles('#pick-keypoints', file('good.json', JSON.stringify(exampleRecording())));
    await answerBefore(page);
    const reps = await shownReps(page);
    const recording = exampleRecording();
    spoil(recording);
    await page.setInputFiles('#pick-keypoints', file('bad.json', JSON.stringify(recording)));
    assert.match(await trouble(page), expected);
    assert.equal(await page.locator('#before[open]').count(), 0, 'nothing was asked first');
    assert.equal(await shownReps(page), reps);
    await close();
  });
}
