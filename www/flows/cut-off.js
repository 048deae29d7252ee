// @ts-check
/** A set that was cut off, measured from what was written down of it. */
import { recordingOf } from '../app/running-set.js';
import { forget, framesOf } from '../records/under-way.js';
import { measure, present } from './finish.js';

/** @param {import('../records/under-way.js').CutOff} set */
export async function runCutOff({ id, head }) {
  const recording = recordingOf(head.setup, await framesOf(id));
  const measured = await measure({
    recording,
    hurts: head.hurts,
    thresholds: head.setup.thresholds ?? {},
    source: `${head.source ?? 'the camera'}, cut off`,
    name: head.name,
  });
  await present({ ...measured, made: head.made }, { onKept: () => forget(id) });
}
