// The module computes what the native command computes, number by number.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { inProject, recording, run } from './harness.mjs';

/** Largest relative difference of two trees of plain values. */
function furthest(a, b, path = '') {
  if (typeof a === 'number' && typeof b === 'number') return [Math.abs(a - b) / (1 + Math.abs(b)), path];
  if (a === null || typeof a !== 'object') {
    assert.deepEqual(a, b, path);
    return [0, path];
  }
  assert.deepEqual(Object.keys(a).sort(), Object.keys(b).sort(), path);
  return Object.keys(a)
    .map((key) => furthest(a[key], b[key], `${path}.${key}`))
    .reduce((x, y) => (y[0] > x[0] ? y : x), [0, path]);
}

test('reports with curves, natively and in the module', async (t) => {
  const u = await import(pathToFileURL(join(process.env.UNDERFOOT_PKG, 'index.js')));
  await u.init();
  for (const name of ['side-heel-lift', 'front-knees-in']) {
    const { stdout } = await run('cargo', ['xtask', 'analyze', `tests/data/recordings/${name}.json.gz`, '--series'], {
      cwd: inProject('.'),
      maxBuffer: 1 << 26,
    });
    const [apart, path] = furthest(u.analyze(recording(name), { series: true }), JSON.parse(stdout));
    t.diagnostic(`${name}: at most ${apart.toExponential(1)} apart, relative, at ${path}`);
    // Both take their sines, exponentials and logarithms from the same code.
    assert.equal(apart, 0, path);
  }
});
