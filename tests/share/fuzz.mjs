// Mutated links and files: every one is taken or refused with a code, in bounded time and memory.
//   node tests/share/fuzz.mjs [COUNT] [SEED]
import { fileURLToPath } from 'node:url';
import v8 from 'node:v8';
import vm from 'node:vm';
import { decodeCheck, encodeCheck } from '../../www/share/check-link.js';
import { open, seal, toFragment } from '../../www/share/envelope.js';
import { decodeResult, encodeResult } from '../../www/share/result-file.js';
import { readLink } from '../../www/share/find-link.js';
import { fromText, toText } from '../../www/share/result-text.js';
import { decodeSummary, encodeSummary, summarise } from '../../www/share/result-link.js';
import { exampleCheck, exampleRecording, exampleReport } from './examples.mjs';

/** A small well-known generator (mulberry32), so that a seed names a run. @param {number} seed */
function random(seed) {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** @param {Uint8Array} bytes @param {() => number} next @param {number} from */
function mutate(bytes, next, from) {
  const out = Uint8Array.from(bytes);
  const times = 1 + Math.floor(next() * 4);
  for (let k = 0; k < times; k += 1) out[from + Math.floor(next() * (out.length - from))] = Math.floor(next() * 256);
  const cut = next();
  return cut < 0.1 ? out.slice(0, Math.floor(next() * out.length)) : out;
}

const WILD = [null, -1, 1e300, NaN, 'x'.repeat(50), [], {}, [[[]]], true, 1.5, new Uint8Array(9), 2 ** 40];

/** Replaces one value somewhere inside plain data. @param {any} value @param {() => number} next @returns {any} */
function mutateValue(value, next) {
  if (next() < 0.2 || value === null || typeof value !== 'object') return WILD[Math.floor(next() * WILD.length)];
  const copy = Array.isArray(value) ? [...value] : { ...value };
  const keys = Object.keys(copy);
  if (!keys.length) return WILD[Math.floor(next() * WILD.length)];
  const key = keys[Math.floor(next() * keys.length)];
  copy[key] = mutateValue(copy[key], next);
  return copy;
}

/** What programs on the way put into a text. */
const BITS = [
  '.',
  ')',
  '>',
  '"',
  ' ',
  '\n',
  '\n> ',
  '=\n',
  '%0A',
  '%23',
  '%',
  '&utm=1',
  'check.H4sI',
  ':end',
  'underfoot-file:',
  '\u200b',
  '\ud800',
  '-',
  '_',
  'é',
];

/** @param {string} text @param {() => number} next */
function mangle(text, next) {
  let out = text;
  for (let k = Math.floor(next() * 5); k >= 0; k -= 1) {
    const at = Math.floor(next() * (out.length + 1));
    out = out.slice(0, at) + BITS[Math.floor(next() * BITS.length)] + out.slice(at + (next() < 0.2 ? 1 : 0));
  }
  return next() < 0.1 ? out.slice(0, Math.floor(next() * out.length)) : out;
}

/** Targets that cost little; the others come after them. */
const CHEAP = 5;

v8.setFlagsFromString('--expose-gc');
/** Collects all garbage, whatever Node was started with. @type {() => void} */
export const collect = vm.runInNewContext('gc');

/** Time that this process has worked, ms: the clock would count what other programs take. */
export function cpu() {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

/**
 * Bytes that JavaScript holds: its heap and array buffers, garbage included. Neither Node itself
 * nor its compiled code, which other hosts have of their own.
 */
export function held() {
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return heapUsed + arrayBuffers;
}

/**
 * @param {number} count
 * @param {number} seed
 * @param {(done: number, slowest: number, peak: number) => void} [progress] told every 250,000 inputs
 * @returns {{ outcome: Record<string, Record<string, number>>, slowest: number, peak: number, left: number }}
 *   what became of the inputs; the slowest one, ms of processor time; the largest growth of the memory held over
 *   that before the first input, bytes, looked at after every 256th input and every one that took over a
 *   millisecond, with its garbage and up to 20 MB of that before it; and what was still held at the end
 */
export function fuzz(count, seed, progress = () => {}) {
  const next = random(seed);
  const check = encodeCheck(exampleCheck);
  const summary = encodeSummary({ day: '2026-11-25', lifter: 'Robin', sets: [summarise(exampleReport(), false)] });
  const file = encodeResult({
    made_with: '0.1.0',
    day: '2026-11-25',
    lifter: 'Robin',
    note: '',
    check: exampleCheck,
    sets: [{ recording: exampleRecording(4), report: exampleReport(1), thresholds: {}, wanted: 'front', hurts: false }],
  });
  const asText = toText(file);
  const plain = {
    check: open(fromBase64(check), 'check', 9).payload,
    result: open(fromBase64(summary), 'result', 9).payload,
    file: open(file, 'result', 9).payload,
  };
  const text = new TextEncoder();
  const untext = new TextDecoder('latin1');
  const versionOf = {
    check: open(fromBase64(check), 'check', 9).version,
    result: open(fromBase64(summary), 'result', 9).version,
    file: open(file, 'result', 9).version,
  };
  /** An old version now and then. @param {number} newest */
  const some = (newest) => 1 + Math.floor(next() * newest);
  /** @type {[string, () => unknown][]} */
  const targets = [
    ['check bytes', () => decodeCheck(untext.decode(mutate(text.encode(check), next, 6)))],
    ['messages', () => readLink(mangle(next() < 0.5 ? check : summary, next))],
    ['summary bytes', () => decodeSummary(untext.decode(mutate(text.encode(summary), next, 7)))],
    ['file bytes', () => decodeResult(mutate(file, next, 2))],
    ['file texts', () => decodeResult(fromText(mangle(asText, next)) ?? new Uint8Array())],
    ['check values', () => decodeCheck(toFragment('check', seal('check', some(versionOf.check), mutateValue(plain.check, next))))],
    ['summary values', () => decodeSummary(toFragment('result', seal('result', some(versionOf.result), mutateValue(plain.result, next))))],
    ['file values', () => decodeResult(seal('result', some(versionOf.file), mutateValue(plain.file, next)))],
  ];
  /** @type {Record<string, Record<string, number>>} */
  const outcome = {};
  let slowest = 0;
  let peak = 0;
  collect();
  const before = held();
  for (let i = 0; i < count; i += 1) {
    // Sealing is the costly part of the value targets: they get every tenth turn.
    const [name, run] = targets[i % 10 === 9 ? CHEAP + (Math.floor(i / 10) % 3) : i % CHEAP];
    const started = cpu();
    let result = 'taken';
    try {
      run();
    } catch (error) {
      result = /** @type {any} */ (error).code;
      if (/** @type {any} */ (error).name !== 'ShareError') throw new Error(`seed ${seed}, input ${i} (${name}): ${error}`);
    }
    const took = cpu() - started;
    slowest = Math.max(slowest, took);
    if (took > 1 || i % 256 === 0) {
      const growth = held() - before;
      peak = Math.max(peak, growth);
      // What earlier inputs left behind is not this one's doing.
      if (growth > 20e6) collect();
    }
    if (i % 250_000 === 249_999) progress(i + 1, slowest, peak);
    outcome[name] ??= {};
    outcome[name][result] = (outcome[name][result] ?? 0) + 1;
  }
  collect();
  return { outcome, slowest, peak, left: held() - before };
}

/** @param {string} fragment */
function fromBase64(fragment) {
  return Uint8Array.from(Buffer.from(fragment.slice(fragment.indexOf('.') + 1), 'base64url'));
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [count, seed] = [Number(process.argv[2] ?? 100_000), Number(process.argv[3] ?? 1)];
  // Where an error was made costs more than the error.
  Error.stackTraceLimit = 0;
  const started = performance.now();
  const { outcome, slowest, peak, left } = fuzz(count, seed, (done, ms, bytes) =>
    console.error(`${done} inputs, slowest ${ms.toFixed(1)} ms, ${(bytes / 1e6).toFixed(1)} MB`),
  );
  const [peak_mb, left_mb] = [peak, left].map((bytes) => (bytes / 1e6).toFixed(1));
  console.table(outcome);
  console.log(
    `${count} inputs, seed ${seed}, ${((performance.now() - started) / 1000).toFixed(0)} s: slowest ${slowest.toFixed(1)} ms of processor time; memory over the baseline at most ${peak_mb} MB, garbage included, ${left_mb} MB at the end`,
  );
  if (peak > 50e6) process.exitCode = 1;
}
