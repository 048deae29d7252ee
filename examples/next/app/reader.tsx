'use client';

import { useEffect, useRef, useState } from 'react';
import { analyze, init } from 'underfoot';
import 'underfoot/define';
import type { UnderfootSet } from 'underfoot/element';
import { example } from 'underfoot/example';
import type {} from 'underfoot/jsx';
import { UnderfootWorker } from 'underfoot/worker';

export function Reader() {
  const set = useRef<UnderfootSet>(null);
  const [cue, say] = useState('');
  const [there, tell] = useState('');

  useEffect(() => {
    const worker = new UnderfootWorker();
    // In development React runs this twice: the first worker is gone then, and what it still says counts for nothing.
    const gone = new AbortController();
    const run = async () => {
      await init();
      const report = analyze(example);
      if (set.current) set.current.report = report;
      say(report.cue.text);
      tell(`${(await worker.analyze(example, { signal: gone.signal })).reps.length} repetitions in a worker`);
    };
    run().catch((error: unknown) => gone.signal.aborted || tell(String(error)));
    return () => {
      gone.abort();
      worker.terminate();
    };
  }, []);

  return (
    <>
      <underfoot-set ref={set} />
      <p id="cue">{cue}</p>
      <p id="worker">{there}</p>
    </>
  );
}
