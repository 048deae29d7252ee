// The calls that need no session.
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
  const tree = typeof recording === 'string' ? parsed(recording) : recording;
  return guarded(() => glue.analyze(tree, options(chosen)));
}

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new UnderfootError('bad-input', `recording: not JSON: ${error.message}`, { field: 'recording', cause: error });
  }
}

/** See index.d.ts. */
export const compare = (reports) => guarded(() => raw().compare(reports));

/** See index.d.ts. */
export const defaultThresholds = () => guarded(() => raw().default_thresholds());
