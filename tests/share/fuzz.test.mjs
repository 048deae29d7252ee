// A short run of the fuzzer with a fixed seed; the long one is `node tests/share/fuzz.mjs 10000000`.
import assert from 'node:assert/strict';
import test from 'node:test';
import { packInts } from '../../www/share/ints.js';
import { seal } from '../../www/share/envelope.js';
import { decodeResult, encodeResult } from '../../www/share/result-file.js';
import { exampleRecording, exampleReport } from './examples.mjs';
import { collect, cpu, fuzz, held } from './fuzz.mjs';

test('60,000 mutated links and files are taken or refused with a code', () => {
  const { outcome, slowest, peak } = fuzz(60_000, 7);
  assert.equal(Object.keys(outcome).length, 8);
  for (const [name, results] of Object.entries(outcome)) {
    assert.ok(
      Object.keys(results).some((r) => r !== 'taken'),
      `${name}: nothing was refused`,
    );
  }
  assert.ok(slowest < 500, `slowest took ${slowest} ms`);
  assert.ok(peak < 50e6, `${peak} bytes over the baseline`);
});

// What a few bytes can ask for at most: written by hand, since no mutation would find them.
const usual = { made_with: '0', day: '2026-11-25', lifter: '', note: '', check: null };
const set = (recording) => ({ recording, report: {}, thresholds: {}, wanted: '' });
const stick = (persons, n, used) => ({
  setup: { layout: { count: n, joints: {} }, image: { width: 9, height: 9 } },
  count: n,
  used,
  times: packInts(new Array(persons).fill(1)),
  people: packInts(new Array(persons).fill(1)),
  columns: used.map(() => [0, 0, 0].map(() => packInts(new Array(persons).fill(1)))),
});
const many = (of, count) => Array.from({ length: count }, of);
const HOSTILE = {
  'empty objects': { ...usual, sets: many(() => many(() => ({}), 250_000), 16) },
  'nested lists': { ...usual, sets: many(() => many(() => [[]], 120_000), 16) },
  'unseen points': { ...usual, sets: many(() => set(stick(4000, 1024, [0])), 16) },
  'seen points': {
    ...usual,
    sets: many(
      () =>
        set(
          stick(
            4000,
            300,
            many((_, i) => i, 300),
          ),
        ),
      3,
    ),
  },
  'one full recording': {
    ...usual,
    sets: [
      set(
        stick(
          4000,
          95,
          many((_, i) => i, 95),
        ),
      ),
    ],
  },
};

test('hand-made files cost under 50 MB and three seconds at most', () => {
  for (const [name, payload] of Object.entries(HOSTILE)) {
    const bytes = seal('result', 1, payload);
    collect();
    const before = held();
    const started = cpu();
    let result = 'taken';
    let opened = null;
    try {
      opened = decodeResult(bytes);
    } catch (error) {
      result = error.code ?? String(error);
    }
    const [growth, took] = [held() - before, cpu() - started];
    console.log(`${name}: ${bytes.length} bytes, ${result}, ${(growth / 1e6).toFixed(1)} MB, ${took.toFixed(0)} ms`);
    assert.ok(['taken', 'too-large', 'damaged'].includes(result), `${name}: ${result}`);
    assert.ok(growth < 50e6, `${name}: ${growth} bytes`);
    assert.ok(took < 3000, `${name}: ${took} ms`);
    assert.ok(opened === null || opened.sets.length > 0);
  }
});

test('an honest file of four sides with ten repetitions each is taken', () => {
  const bytes = encodeResult({
    ...usual,
    sets: many(() => ({ recording: exampleRecording(1500), report: exampleReport(10), thresholds: {}, wanted: 'front' }), 4),
  });
  assert.equal(decodeResult(bytes).sets.length, 4);
});
