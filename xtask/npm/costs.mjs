// node costs.mjs PACKAGE: a sentence with what a frame and a report cost here, for the package's README.
import { readFileSync } from 'node:fs';
import { arch, cpus } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gunzipSync } from 'node:zlib';

const { Session, initSync } = await import(pathToFileURL(join(resolve(process.argv[2]), 'index.js')));
const read = (name) => JSON.parse(gunzipSync(readFileSync(new URL(`../../tests/data/recordings/${name}.json.gz`, import.meta.url))));
initSync();
const { frames, ...setup } = read('front-knees-in');
const flat = frames.map(({ t_ms, points }) => [t_ms, Float64Array.from(points.flat())]);
let [push, report] = [Infinity, Infinity];
for (let round = 0; round < 5; round++) {
  const session = new Session(setup);
  const timed = (call) => {
    const start = performance.now();
    call();
    return performance.now() - start;
  };
  // What most frames cost: the median leaves out the two that fit standing and the three that end a repetition.
  const each = flat.map(([t_ms, points]) => timed(() => session.push(t_ms, points))).sort((a, b) => a - b);
  push = Math.min(push, each[each.length >> 1]);
  report = Math.min(
    report,
    timed(() => session.report()),
  );
  session.free();
}
const model = cpus()[0]?.model ?? arch();
console.log(
  `Measured when this was packed (Node ${process.versions.node}, ${model}): a frame ${(1000 * push).toFixed(0)} µs, the report over a set of three repetitions (${frames.length} frames) ${report.toFixed(0)} ms.`,
);
