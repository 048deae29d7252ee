import { Session, UnderfootError, analyze, init, type Live, type Recording, type Report } from 'underfoot';
import { adapter, type People } from 'underfoot/adapters';
import { defineUnderfoot } from 'underfoot/element';
import { UnderfootWorker } from 'underfoot/worker';

const show = (id: string, text: string) => {
  const place = document.getElementById(id);
  if (place) place.textContent = text;
};

defineUnderfoot();
await init();
const recording = (await (await fetch('./recording.json')).json()) as Recording;

// An estimator's own numbers become what a session takes; these are pixels already.
const toPeople = adapter({ layout: 'blazepose-33' });
let live: Live | undefined;
{
  using session = new Session(recording);
  session.addEventListener('rep', ({ detail }) => console.debug(detail.index, detail.tempo.down_s));
  for (const { t_ms, points } of recording.frames) {
    const people: People = toPeople(points);
    live = session.push(t_ms, people);
  }
}
show('live', `${live?.phase}, ${live?.reps} repetitions`);

const report: Report = analyze(recording, { series: true });
show('cue', report.cue.text);
const element = document.querySelector('underfoot-set');
if (element) element.report = report;

const worker = new UnderfootWorker();
const again = await worker.analyze(recording);
show('worker', `${again.reps.length} repetitions in a worker`);
worker.terminate();

try {
  analyze('not a recording');
} catch (error) {
  if (!(error instanceof UnderfootError) || error.code !== 'bad-input') throw error;
}
