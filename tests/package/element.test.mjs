// The custom element: live state, result, events, other shadow roots, several on a page, no style that leaks.
import assert from 'node:assert/strict';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { browser, project, recording, serve, watched } from './harness.mjs';

let chromium;
before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

const PAGE = `<!doctype html><meta charset="utf-8"><title>x</title><link rel="icon" href="data:,"><link rel="stylesheet" href="own.css">
<script type="module" src="./node_modules/underfoot/define.js"></script>
<h2>Own heading</h2><table id="own"><tr><td>own</td></tr></table>
<underfoot-set id="one"></underfoot-set><underfoot-set id="two"></underfoot-set><div id="host"></div>`;

async function page(t) {
  const dir = await project(t);
  writeFileSync(join(dir, 'index.html'), PAGE);
  writeFileSync(join(dir, 'own.css'), 'underfoot-set { --underfoot-paper: rgb(1, 2, 3); } underfoot-set::part(cue-text) { color: rgb(4, 5, 6); }');
  const view = await watched(chromium, await serve(t, dir));
  await view.page.waitForFunction(() => customElements.get('underfoot-set'));
  return view;
}

test('a set frame by frame: live words, a result, events; another element beside it and one in a shadow root', async (t) => {
  const view = await page(t);
  const heard = await view.page.evaluate(async ({ frames, ...setup }) => {
    const heard = [];
    for (const name of ['live', 'rep', 'report', 'trouble'])
      document.addEventListener(`underfoot-${name}`, ({ target, detail }) => heard.push([target.id, name, detail.phase ?? null]));
    const one = document.getElementById('one');
    await one.start(setup);
    const words = new Set();
    for (const { t_ms, points } of frames) {
      one.push(t_ms, points);
      words.add(one.shadowRoot.querySelector('[part=phase]')?.textContent);
    }
    one.finish();
    // In another component's shadow root, under another name.
    const { defineUnderfoot } = await import('./node_modules/underfoot/element.js');
    defineUnderfoot('my-set');
    defineUnderfoot('my-set');
    defineUnderfoot();
    const inner = document.createElement('my-set');
    inner.id = 'inner';
    document.getElementById('host').attachShadow({ mode: 'open' }).append(inner);
    await inner.analyze({ ...setup, frames });
    return { heard, words: [...words] };
  }, recording());
  for (const word of ['Standing', 'Going down', 'Coming up']) assert.ok(heard.words.includes(word), word);
  const count = (id, name) => heard.heard.filter(([where, what]) => where === id && what === name).length;
  assert.deepEqual([count('one', 'rep'), count('one', 'live'), count('one', 'trouble')], [3, recording().frames.length, 0]);
  assert.ok(count('one', 'report') >= 1);
  // The event of the inner one left the shadow root and is told by its host.
  assert.equal(count('host', 'report'), 1);
  const one = view.page.locator('#one');
  assert.equal(await one.locator('thead th').count(), 4);
  assert.equal(await one.locator('tbody tr').count(), 8);
  // Every verdict is a word beside a shape.
  for (const cell of await one.locator('.verdict').all()) {
    assert.match(await cell.innerText(), /^(clear|unsure|fault|not seen)$/);
    assert.equal(await cell.locator('svg path').count(), 1);
  }
  assert.equal(await view.page.locator('#two [part=phase]').innerText(), 'Stand still for a second, the whole body in the picture');
  await view.close();
});

test('styled from outside by properties and parts; nothing leaks out', async (t) => {
  const view = await page(t);
  const style = await view.page.evaluate(async (recording) => {
    const before = getComputedStyle(document.querySelector('#own td')).padding;
    const one = document.getElementById('one');
    await one.analyze(recording);
    return {
      paper: getComputedStyle(one).backgroundColor,
      cue: getComputedStyle(one.shadowRoot.querySelector('[part=cue-text]')).color,
      own: [before, getComputedStyle(document.querySelector('#own td')).padding],
      sheets: document.adoptedStyleSheets.length + document.querySelectorAll('style').length,
    };
  }, recording());
  assert.deepEqual([style.paper, style.cue, style.sheets], ['rgb(1, 2, 3)', 'rgb(4, 5, 6)', 0]);
  assert.equal(style.own[0], style.own[1]);
  await view.close();
});

test('what goes wrong is said on the element; a removed element frees its session, a moved one keeps it', async (t) => {
  const view = await page(t);
  const said = await view.page.evaluate(async ({ frames: [frame], ...setup }) => {
    const [one, two] = ['one', 'two'].map((id) => document.getElementById(id));
    const heard = [];
    document.addEventListener('underfoot-trouble', ({ detail }) => heard.push(detail.code));
    await one.start({ layout: 'x', image: setup.image }).catch(() => {});
    const text = one.shadowRoot.querySelector('[role=alert]').textContent;
    let early;
    try {
      two.push(0, null);
    } catch ({ code, message }) {
      early = [code, message];
    }
    await two.start(setup);
    two.push(frame.t_ms, frame.points);
    document.body.prepend(two);
    await null;
    const moved = two.push(frame.t_ms + 30, frame.points).phase;
    two.remove();
    await null;
    let removed;
    try {
      two.push(frame.t_ms + 60, frame.points);
    } catch ({ code }) {
      removed = code;
    }
    one.report = null;
    return { heard, text, early, moved, removed, cleared: one.shadowRoot.querySelector('[part=live]') !== null };
  }, recording());
  assert.match(said.text, /^layout: not a known layout/);
  assert.deepEqual(said.heard, ['bad-input']);
  assert.deepEqual(said.early, ['not-initialised', 'no set is running in this element: await start(setup) first']);
  assert.deepEqual([said.moved, said.removed, said.cleared], ['searching', 'not-initialised', true]);
  await view.close();
});

test('what was set before the element is defined holds; without its src the result goes', async (t) => {
  const dir = await project(t);
  writeFileSync(
    join(dir, 'index.html'),
    '<!doctype html><link rel="icon" href="data:,"><underfoot-set id="one"></underfoot-set><underfoot-set id="two" src="./recording.json"></underfoot-set>',
  );
  const view = await watched(chromium, await serve(t, dir));
  const seen = await view.page.evaluate(async ({ frames, ...setup }) => {
    const [one, two] = ['one', 'two'].map((id) => document.getElementById(id));
    one.setup = setup;
    const shown = new Promise((resolve) => document.addEventListener('underfoot-report', resolve, { once: true }));
    await import('./node_modules/underfoot/define.js');
    await one.start();
    one.push(frames[0].t_ms, frames[0].points);
    await shown;
    const before = [two.report.reps.length, two.shadowRoot.querySelector('[part=result]') !== null];
    two.removeAttribute('src');
    return [one.setup === setup, before, two.report, two.shadowRoot.querySelector('[part=result]')];
  }, recording());
  assert.deepEqual(seen, [true, [3, true], null, null]);
  await view.close();
});
