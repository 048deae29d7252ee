// The calls that need no session.
import { plainCopy, recordingCopy } from './copy.js';
import { UnderfootError, converted } from './error.js';
import { raw } from './module.js';
import { options } from './options.js';

function guarded(call) {
  try {
    return call();
  } catch (error) {
    throw converted(error);
  }
}

/** See index.d.ts. */
export function analyze(recording, chosen) {
  const glue = raw();
  const tree = typeof recording === 'string' ? parsed(recording) : recordingCopy(recording);
  const own = options(chosen);
  return guarded(() => glue.analyze(tree, own));
}

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new UnderfootError('bad-input', `recording: not JSON: ${error.message}`, { field: 'recording', cause: error });
  }
}

/** See index.d.ts. */
export function compare(reports) {
  const glue = raw();
  const own = plainCopy(reports, 'reports');
  return guarded(() => glue.compare(own));
}

/** See index.d.ts. */
export const defaultThresholds = () => guarded(() => raw().default_thresholds());
