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
    const run = async () => {
      await init();
      const report = analyze(example);
      if (set.current) set.current.report = report;
      say(report.cue.text);
      tell(`${(await worker.analyze(example)).reps.length} repetitions in a worker`);
    };
    run().catch((error: unknown) => tell(String(error)));
    return () => worker.terminate();
  }, []);

  return (
    <>
      <underfoot-set ref={set} />
      <p id="cue">{cue}</p>
      <p id="worker">{there}</p>
    </>
  );
}
