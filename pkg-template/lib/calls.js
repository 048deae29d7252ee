// The calls that need no session.
import { plainCopy, recordingCopy } from './copy.js';
import { UnderfootError, converted } from './error.js';
import { raw, rawWith, startWith } from './module.js';
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
  const glue = rawWith('report');
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
export async function compare(reports) {
  raw();
  const own = plainCopy(reports, 'reports');
  await startWith('compare');
  return guarded(() => rawWith('compare').compare(own));
}

/** See index.d.ts. */
export const initPicture = (source) => startWith('picture', isSourceOf('picture', source));

/** One source is the part's own. */
const isSourceOf = (part, source) => (source === undefined || source?.constructor === Object ? source : { [part]: source });

/** See index.d.ts. */
export const defaultThresholds = () => guarded(() => raw().default_thresholds());
