// node example.mjs RECORDING.json.gz FOLDER: example.js and example.json, a recording small enough to ship, for the package's first snippets. Every second frame, and of
// the points those that have a name in a joint map, in half pixels.
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';

const [from, to] = process.argv.slice(2);
const { layouts } = await import(new URL('../../pkg-template/lib/layouts.js', import.meta.url));
const { frames, layout, ...about } = JSON.parse(gunzipSync(readFileSync(from)));
const names = Object.keys(layouts[layout].joints).filter((name) => !/eye|ear|elbow/.test(name));
const half = (v) => Math.round(v * 2) / 2;
const tenth = (v) => Math.round(v * 10) / 10;
const point = ([x, y, score]) => [half(x), half(y), tenth(score)];
const recording = {
  layout: { count: names.length, joints: Object.fromEntries(names.map((name, i) => [name, i])) },
  ...about,
  frames: frames
    .filter((_, i) => i % 2 === 0)
    .map(({ t_ms, points }) => ({ t_ms: Math.round(t_ms), points: points && names.map((name) => point(points[layouts[layout].joints[name]])) })),
};
const text = JSON.stringify(recording);
writeFileSync(
  join(to, 'example.js'),
  `// Keypoints of a rendered figure: three squats seen from the front, the knees come in.\nexport const example = ${text};\n`,
);
writeFileSync(join(to, 'example.json'), `${text}\n`);
