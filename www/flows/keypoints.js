// @ts-check
/** A recorded-keypoints file, straight to its result. */
import { readKeypoints } from '../input/read-file.js';
import { measure, present, tryOut } from './finish.js';
import { askBefore } from '../app/before.js';
import { setupFrom } from '../app/core.js';

/** @param {File} file */
export async function runKeypoints(file) {
  const recording = await readKeypoints(file);
  // What can't be used is said before anything is asked.
  await tryOut(recording);
  const before = await askBefore('Show the result');
  if (!before) return;
  // What the recording says about its own set goes before what was typed for this one.
  const known = { ...setupFrom(before), ...recording };
  await present(await measure({ recording: known, hurts: before.hurts, source: `the file ${file.name}`, name: before.name }));
}
