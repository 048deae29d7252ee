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

/** How a call on the page ended, within ten seconds. */
const told = (view, script) =>
  view.page.evaluate(async (script) => {
    const { default: run } = await import(script);
    const late = new Promise((resolve) => setTimeout(() => resolve(['no answer']), 10_000));
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
