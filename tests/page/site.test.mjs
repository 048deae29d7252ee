// @ts-check
/**
 * The page as a folder on a plain file server below a path: a coach and three clients over three weeks, with pain, a tampered file, another coach's file, links that a
 * chat program changed, and a replay of every result. Invented: the clients' sets are the example, moved in the picture.
 */
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { decodeResult, encodeResult } from '../../www/share/result-file.js';
import { answerBefore, browser, exampleRecording, file, inProject, open } from './harness.mjs';
import { serveFolder } from './plain-server.mjs';

const SITE = process.env.UNDERFOOT_SITE ?? inProject('target/site');
const BELOW = '/clubs/underfoot/';

/** @type {import('playwright-core').Browser} */
let chromium;
/** @type {Awaited<ReturnType<typeof serveFolder>>} */
let host;
before(async () => {
  chromium = await browser();
  host = await serveFolder(SITE, BELOW);
});
after(async () => {
  await chromium.close();
  host.close();
});

let moved = 0;

/** The client opens what reached them, films, and saves the file. @param {import('playwright-core').Page} page @param {string} link @param {string} nickname @param {'yes' | 'no'} hurts */
async function answer(page, link, nickname, hurts = 'no') {
  await page.goto('about:blank');
  await page.goto(link);
  await page.waitForSelector('#asked:not([hidden]) .asked-views');
  const recording = exampleRecording();
  moved += 1;
  for (const frame of recording.frames) for (const point of frame.points ?? []) if (point) point[0] += moved;
  await page.setInputFiles('.asked-views input[type=file] >> nth=0', file('set.json', JSON.stringify(recording)));
  await answerBefore(page, hurts);
  await page.waitForSelector('#result:not([hidden])');
  await page.click('text=Use this set for the check');
  await page.click('#send-back');
  await page.fill('input[name=nickname]', nickname);
  const [download] = await Promise.all([page.waitForEvent('download'), page.click('#save-result')]);
  return { name: download.suggestedFilename(), buffer: readFileSync(await download.path()), mimeType: '' };
}

/** @param {import('playwright-core').Page} page @param {string} client */
async function openClient(page, client) {
  await page.click('#to-coach');
  await page.click(`.client button:text-is("${client}")`);
  await page.waitForSelector('#cue-to-give');
}

/** The link of the form that is shown, marked as sent. @param {import('playwright-core').Page} page */
async function sendIt(page) {
  await page.waitForSelector('.link-text');
  await page.click('#mark-sent');
  return page.inputValue('.link-text');
}

/** @param {import('playwright-core').Page} page @param {any[]} files @param {RegExp} said */
async function take(page, files, said) {
  await page.click('#to-coach');
  await page.waitForSelector('#pick-results', { state: 'attached' });
  await page.setInputFiles('#pick-results', files);
  await page.locator('#desk-said', { hasText: said }).waitFor();
  return page.innerText('#desk-said');
}

test('a coach and three clients over three weeks', { timeout: 400_000 }, async () => {
  const started = Date.now();
  const [coach, ...clients] = await Promise.all(Array.from({ length: 4 }, () => open(chromium, {}, host.url)));
  const [ann, ben, cy] = clients.map((c) => c.page);
  const { page } = coach;
  const day = async (/** @type {string} */ now) => {
    for (const one of [page, ann, ben, cy]) await one.clock.setFixedTime(new Date(`${now}T12:00:00`));
  };
  assert.equal(await page.getAttribute('#policy', 'data-policy'), 'page');
  assert.match(await page.innerText('#policy'), /This host sets no policy of its own/);

  // The first week: three checks, three links, each as it may arrive.
  await day('2026-11-02');
  /** @type {Record<string, string>} */
  const links = {};
  for (const client of ['Ann', 'Ben', 'Cy']) {
    await page.click('#to-coach');
    await page.click('#desk-make');
    await page.waitForSelector('.make-check');
    await page.fill('input[name=client]', client);
    await page.fill('input[name=coach]', 'Coach R');
    await page.uncheck('input[name=views][value=left]');
    if (client === 'Cy') await page.uncheck('input[name=checks][value=load_left_pct]');
    await page.click('.make-check button[type=submit]');
    links[client] = await sendIt(page);
    assert.ok(links[client].startsWith(`${host.url}#check.`), links[client]);
  }
  await page.click('#to-coach');
  await page.waitForSelector('.client');
  assert.match(await page.innerText('#clients'), /Waiting for: the check of/);
  const first = [
    // Nobody was here before: the server has no such file, and its page for that leads on.
    await answer(ann, links.Ann.replace('#', '%23'), 'ann'),
    await answer(ben, `${links.Ben}.)`, ''),
    await answer(cy, links.Cy.replace('#check', '?utm_source=chat#check'), 'Cy'),
  ];
  assert.deepEqual(
    first.map((f) => f.name),
    ['ann-2026-11-02.underfoot', 'squat-2026-11-02.underfoot', 'Cy-2026-11-02.underfoot'],
  );
  await take(page, first, /Added 3 results: Ann, Ben, Cy\./);
  await openClient(page, 'Cy');
  assert.doesNotMatch(await page.innerText('#coach table.reps >> nth=0'), /balance/, 'only what was asked for');

  // The second: pain, a tampered file, another coach's file, a link that is cut.
  await day('2026-11-09');
  for (const client of ['Ann', 'Ben', 'Cy']) {
    await openClient(page, client);
    await page.click('#next-check');
    links[client] = await sendIt(page);
  }
  await ann.goto('about:blank');
  await ann.goto(links.Ann.slice(0, -12));
  await ann.waitForSelector('#trouble:not([hidden])');
  assert.match(await ann.innerText('#trouble-text'), /damaged/);
  const honest = await answer(cy, links.Cy, 'Cy');
  const inside = decodeResult(honest.buffer);
  /** @type {any} */ (inside.sets[0].report).reps[1].heel_lift_mm.left.value = 2;
  const tampered = { ...honest, name: 'cy.underfoot', buffer: Buffer.from(encodeResult(inside)) };
  const theirs = decodeResult(first[0].buffer);
  const foreign = {
    ...honest,
    name: 'other.underfoot',
    buffer: Buffer.from(
      encodeResult({
        ...theirs,
        lifter: 'Dee',
        check: { .../** @type {any} */ (theirs.check), coach: 'Coach Z', ref: 1 },
        sets: theirs.sets.map((set) => ({ ...set, recording: exampleRecording() })),
      }),
    ),
  };
  const said = await take(
    page,
    [await answer(ann, links.Ann, 'Ann'), await answer(ben, links.Ben, '', 'yes'), tampered, foreign],
    /Added 4 results: Ann, Ben, Cy, Dee\./,
  );
  assert.match(said, /Dee answers a check from Coach Z, which was not made on this desk/);
  assert.match(await page.innerText('.client:has(button:text-is("Ben"))'), /Something hurts/);
  await openClient(page, 'Ben');
  assert.match((await page.innerText('#coach')).split('\n').filter(Boolean)[1], /Something hurts/);
  assert.equal(await page.locator('#coach .cue').count(), 0);
  await openClient(page, 'Cy');
  assert.match(await page.innerText('#coach'), /said otherwise\. Left heel: 1 of 5/);

  // The third: one does not answer.
  await day('2026-11-16');
  for (const client of ['Ann', 'Cy']) {
    await openClient(page, client);
    await page.click('#next-check');
    links[client] = await sendIt(page);
  }
  await take(page, [await answer(ann, links.Ann, 'Ann')], /Added 1 result: Ann\./);
  await day('2026-11-26');
  await page.click('#home');
  await page.click('#to-coach');
  await page.waitForSelector('.client');
  assert.match(await page.innerText('.client:has(button:text-is("Cy"))'), /Overdue by 3 days/);
  await openClient(page, 'Ann');
  await page.waitForSelector('#weeks .uplot');
  assert.equal(await page.locator('#weeks thead th').count(), 3 + 3, 'three weeks as columns');

  // Every result is replayed.
  let replays = 0;
  for (const client of ['Ann', 'Ben', 'Cy', 'Dee']) {
    await openClient(page, client);
    const weeks = Math.max(1, await page.locator('.weeks-nav button').count());
    for (let week = 0; week < weeks; week += 1) {
      if (weeks > 1) await page.click(`.weeks-nav button >> nth=${week}`);
      await page.waitForSelector('#cue-to-give');
      await page.click('text=Replay and curves');
      await page.waitForSelector('#result:not([hidden]) .player canvas');
      await page.waitForSelector('#result .plots .uplot');
      replays += 1;
      await page.click('#result >> text=Back to the result');
      await page.waitForSelector('#cue-to-give');
    }
  }
  assert.equal(replays, 3 + 2 + 2 + 1);
  console.log(`    three weeks, ${replays} replays: ${((Date.now() - started) / 1000).toFixed(0)} s`);
  await coach.close();
  for (const client of clients) {
    // The one request that is not found is the link whose # was encoded.
    await client.close().catch((error) => {
      assert.match(error.message, /404.*%23check/s);
      return client.context.close();
    });
  }
  assert.ok(
    host.asked.every((path) => path.startsWith(BELOW)),
    'everything is asked for below the path',
  );
});

test('after one visit the site works without a network, below its path', { timeout: 120_000 }, async () => {
  const { page, context, close } = await open(chromium, {}, host.url);
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null, null, { timeout: 60_000 });
  assert.equal(await page.evaluate(async () => new URL((await navigator.serviceWorker.ready).scope).pathname), BELOW);
  await context.setOffline(true);
  await page.goto(host.url);
  await page.click('#to-coach');
  await page.waitForSelector('#desk-make');
  await context.setOffline(false);
  await close();
});

test('on a slow connection a link opens its check, and no start screen before it', { timeout: 120_000 }, async () => {
  const coach = await open(chromium, {}, host.url);
  await coach.page.click('#to-coach');
  await coach.page.click('#desk-make');
  await coach.page.waitForSelector('.make-check');
  await coach.page.click('.make-check button[type=submit]');
  await coach.page.waitForSelector('.link-text');
  const link = await coach.page.inputValue('.link-text');
  const context = await chromium.newContext();
  const page = await context.newPage();
  const devtools = await context.newCDPSession(page);
  // A poor mobile connection: 150 kB a second, 300 ms there and back.
  await devtools.send('Network.enable');
  await devtools.send('Network.emulateNetworkConditions', { offline: false, latency: 300, downloadThroughput: 150_000, uploadThroughput: 50_000 });
  await page.addInitScript(() => {
    const seen = () => {
      const start = document.getElementById('start');
      if (start && start.checkVisibility()) document.documentElement.dataset.startSeen = '';
      requestAnimationFrame(seen);
    };
    requestAnimationFrame(seen);
  });
  const from = Date.now();
  await page.goto(link, { waitUntil: 'commit' });
  await page.waitForSelector('#opening', { timeout: 60_000 });
  const first = Date.now() - from;
  await page.waitForSelector('#asked:not([hidden]) .asked-views', { timeout: 60_000 });
  console.log(`    150 kB/s, 300 ms: “Opening the link” after ${first} ms, the check after ${Date.now() - from} ms`);
  assert.equal(await page.getAttribute('html', 'data-start-seen'), null, 'the start screen was never shown');
  // While the client reads, the estimator is fetched.
  await page
    .waitForRequest((request) => request.url().includes('vendor/pose/'), { timeout: 60_000 })
    .catch(() => assert.ok(host.asked.some((path) => path.includes('vendor/pose/'))));
  await context.close();
  await coach.close();
});
