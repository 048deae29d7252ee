// What callers hear when the worker itself fails: an error with its code, never silence.
import assert from 'node:assert/strict';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { browser, project, serve, watched } from './harness.mjs';

let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

/** A page with the package installed beside these scripts. */
async function page(t, scripts) {
  const dir = await project(t);
  writeFileSync(join(dir, 'index.html'), '<!doctype html><link rel="icon" href="data:,">');
  for (const [name, text] of Object.entries(scripts)) writeFileSync(join(dir, name), text);
  return watched(chromium, await serve(t, dir));
}

/** How a call on the page ended, within half a minute. */
const told = (view, script) =>
  view.page.evaluate(async (script) => {
    const { default: run } = await import(script);
    const late = new Promise((resolve) => setTimeout(() => resolve(['no answer']), 30_000));
    return Promise.race([run(), late]);
  }, script);

const ENDED = `
import { UnderfootWorker } from './node_modules/underfoot/worker.js';
const kind = (promise) => promise.then(() => 'answered', (error) => error.name + ' ' + error.code);
export default async () => {
  const own = new Worker('./mortal.js', { type: 'module' });
  const worker = new UnderfootWorker({ worker: own });
  const recording = await (await fetch('./recording.json')).json();
  const session = await worker.open(recording);
  own.postMessage('die');
  const waiting = kind(session.report());
  return [await waiting, await kind(session.push(0, null)), await kind(worker.analyze(recording))];
};`;
/** The package's worker, which ends itself when told: nothing on the page hears of that but the lock. Keeps what comes before the package listens. */
const MORTAL = `
const early = [];
const keep = (event) => early.push(event.data);
addEventListener('message', keep);
addEventListener('message', (event) => { if (event.data === 'die') { event.stopImmediatePropagation(); close(); } });
await import('./node_modules/underfoot/worker-main.js');
removeEventListener('message', keep);
for (const data of early) dispatchEvent(new MessageEvent('message', { data }));`;

test('a worker that is ended: what waits and what comes later is refused', async (t) => {
  const view = await page(t, { 'ended.js': ENDED, 'mortal.js': MORTAL });
  assert.deepEqual(await told(view, './ended.js'), ['UnderfootError internal', 'UnderfootError internal', 'UnderfootError internal']);
  await view.close();
});

test('a worker whose script is not there, one that throws, and one that was terminated', async (t) => {
  const view = await page(t, {
    'failing.js': `
import { UnderfootWorker } from './node_modules/underfoot/worker.js';
const kind = (promise) => promise.then(() => 'answered', (error) => error.name + ' ' + error.code);
export default async () => {
  const absent = new UnderfootWorker({ worker: new Worker('./absent.js', { type: 'module' }) });
  const throwing = new UnderfootWorker({ worker: new Worker('./throwing.js', { type: 'module' }) });
  const source = new UnderfootWorker({ source: new URL('./absent.wasm', location.href) });
  const ended = new UnderfootWorker();
  const session = await ended.open(await (await fetch('./recording.json')).json());
  const waiting = kind(session.report());
  ended.terminate();
  return [await kind(absent.open({})), await kind(throwing.open({})), await kind(source.open({})), await waiting, await kind(session.push(0, null))];
};`,
    'throwing.js': "throw new Error('no');",
  });
  const failed = 'UnderfootError load-failed';
  assert.deepEqual(await told(view, './failing.js'), [failed, failed, failed, 'UnderfootError freed', 'UnderfootError freed']);
});

test('a worker that fails on one call goes on with the next', async (t) => {
  const view = await page(t, {
    'refused.js': `
import { UnderfootWorker } from './node_modules/underfoot/worker.js';
const kind = (promise) => promise.then(() => 'answered', (error) => error.code);
export default async () => {
  const worker = new UnderfootWorker();
  const session = await worker.open(await (await fetch('./recording.json')).json());
  const kinds = [await kind(session.push(NaN, null)), await kind(session.push(0, () => {})), await kind(session.report())];
  worker.terminate();
  return kinds;
};`,
  });
  assert.deepEqual(await told(view, './refused.js'), ['bad-input', 'bad-input', 'answered']);
});

test('a whole set in the worker never holds the page for 8 ms, reports and events included', async (t) => {
  const view = await page(t, {
    'long.js': `
import { UnderfootWorker } from './node_modules/underfoot/worker.js';
export default async () => {
  const { frames, ...setup } = await (await fetch('./recording.json')).json();
  let most = [];
  for (let round = 0; round < 3; round++) {
    let longest = 0;
    const timed = (call) => { const start = performance.now(); const out = call(); longest = Math.max(longest, performance.now() - start); return out; };
    const own = new Worker('./node_modules/underfoot/worker-main.js', { type: 'module' });
    // What the page does with each answer: reading it, and telling its listeners.
    const listen = own.addEventListener.bind(own);
    own.addEventListener = (type, heard) => listen(type, (event) => timed(() => heard(event)));
    const worker = new UnderfootWorker({ worker: own });
    const session = await worker.open(setup);
    const over = new Promise((resolve) => session.addEventListener('set', resolve));
    for (const { t_ms, points } of frames) await timed(() => session.push(t_ms, points));
    for (let i = 1; i < 100; i++) await timed(() => session.push(frames.at(-1).t_ms + 40 * i, null));
    await over;
    await timed(() => session.report());
    most.push(longest);
    worker.terminate();
  }
  // The quickest of three: other programs may run.
  return Math.min(...most);
};`,
  });
  const longest = await told(view, './long.js');
  t.diagnostic(`the page's longest wait: ${longest.toFixed(2)} ms`);
  assert.ok(longest < 8, `${longest} ms`);
  await view.close();
});

test("an analysis that is given up is rejected at once with the signal's reason, and what waits is not begun", async (t) => {
  const view = await page(t, {
    'abort.js': `
import { UnderfootWorker } from './node_modules/underfoot/worker.js';
export default async () => {
  const own = new Worker('./node_modules/underfoot/worker-main.js', { type: 'module' });
  let reports = 0;
  own.addEventListener('message', ({ data }) => { if (data.value?.reps) reports += 1; });
  const worker = new UnderfootWorker({ worker: own });
  const recording = await (await fetch('./recording.json')).json();
  const gone = new AbortController();
  const kind = (promise) => promise.then(() => 'answered', (error) => error.name);
  // Given up before the worker is there, and while it works on another.
  const early = AbortSignal.timeout(0);
  const never = kind(worker.analyze(recording, { signal: early }));
  await worker.analyze(recording);
  const first = kind(worker.analyze(recording));
  const waiting = kind(worker.analyze(recording, { signal: gone.signal }));
  setTimeout(() => gone.abort());
  const kinds = [await never, await waiting, await first, await kind(worker.analyze(recording, { signal: gone.signal })), await kind(worker.analyze(recording, { signal: new AbortController().signal }))];
  worker.terminate();
  // Answers come in the order of the calls: of the one given up none will come any more.
  return [...kinds, reports];
};`,
  });
  assert.deepEqual(await told(view, './abort.js'), ['TimeoutError', 'AbortError', 'answered', 'AbortError', 'answered', 3]);
  await view.close();
});
