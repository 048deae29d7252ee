import { UnderfootWorker } from './node_modules/underfoot/worker.js';
import { example } from './node_modules/underfoot/example.js';

const show = (id, text) => (document.getElementById(id).textContent = text);

const worker = new UnderfootWorker();
const { frames, ...setup } = example;
const session = await worker.open(setup);

session.addEventListener('rep', ({ detail }) => {
  const item = document.createElement('li');
  item.textContent = `Repetition ${detail.index}`;
  document.getElementById('reps').append(item);
});

let live;
for (const { t_ms, points } of frames) live = await session.push(t_ms, points);
show('live', `${live.phase}, ${live.reps} repetitions`);
show('cue', (await session.report()).cue.text);
await session.free();
worker.terminate();
