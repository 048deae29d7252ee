import { useEffect, useRef, useState } from 'react';
import { Session, init, type Live, type Report } from 'underfoot';
import { adapter, type People } from 'underfoot/adapters';
import 'underfoot/define';
import type { UnderfootSet } from 'underfoot/element';
import { example } from 'underfoot/example';
import type {} from 'underfoot/jsx';
import { UnderfootWorker } from 'underfoot/worker';

/** Frame by frame, as an estimator would give them; its numbers become what a session takes. */
function live(): Live | undefined {
  const { frames, ...setup } = example;
  const toPeople = adapter({ layout: example.layout });
  let state: Live | undefined;
  using session = new Session(setup);
  for (const { t_ms, points } of frames) {
    const people: People = toPeople(points);
    state = session.push(t_ms, people);
  }
  return state;
}

export function App() {
  const [words, say] = useState('');
  const [report, keep] = useState<Report | null>(null);
  const [trouble, fail] = useState('');
  const set = useRef<UnderfootSet>(null);

  useEffect(() => {
    const worker = new UnderfootWorker();
    const gone = new AbortController();
    const run = async () => {
      await init();
      const state = live();
      say(`${state?.phase}, ${state?.reps} repetitions`);
      keep(await worker.analyze(example, { signal: gone.signal }));
    };
    run().catch((error: unknown) => gone.signal.aborted || fail(String(error)));
    return () => {
      gone.abort();
      worker.terminate();
    };
  }, []);

  useEffect(() => {
    if (set.current) set.current.report = report;
  }, [report]);

  return (
    <>
      <h1>A set</h1>
      <underfoot-set ref={set} />
      <p id="live" role="status">
        {words}
      </p>
      <p id="cue">{report?.cue.text}</p>
      <p id="worker">{report ? `${report.reps.length} repetitions in a worker` : trouble}</p>
    </>
  );
}
