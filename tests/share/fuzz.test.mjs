// A short run of the fuzzer with a fixed seed; the long one is `node tests/share/fuzz.mjs 10000000`.
import assert from 'node:assert/strict';
import test from 'node:test';
import { fuzz } from './fuzz.mjs';

test('60,000 mutated links and files are taken or refused with a code', () => {
  const { outcome, slowest } = fuzz(60_000, 7);
  assert.equal(Object.keys(outcome).length, 6);
  for (const [name, results] of Object.entries(outcome)) {
    assert.ok(Object.keys(results).some((r) => r !== 'taken'), `${name}: nothing was refused`);
  }
  assert.ok(slowest < 500, `slowest took ${slowest} ms`);
});
