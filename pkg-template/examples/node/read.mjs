// node read.mjs recording.json
import { readFile } from 'node:fs/promises';
import { argv, exit } from 'node:process';
import { fileURLToPath } from 'node:url';
import { UnderfootError, analyze, initSync } from 'underfoot';

initSync(await readFile(fileURLToPath(import.meta.resolve('underfoot/underfoot_bg.wasm'))));
try {
  const report = analyze(await readFile(argv[2], 'utf8'));
  for (const rep of report.reps) {
    const { left, right } = rep.heel_lift_mm;
    console.log(`repetition ${rep.index}: left heel ${left.verdict}, right heel ${right.verdict}`);
  }
  console.log(report.cue.text);
} catch (error) {
  if (!(error instanceof UnderfootError)) throw error;
  console.error(error.message);
  exit(2);
}
