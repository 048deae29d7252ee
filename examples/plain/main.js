import { Session, init } from './node_modules/underfoot/index.js';
import { example } from './node_modules/underfoot/example.js';

const show = (id, text) => (document.getElementById(id).textContent = text);

await init();
document.querySelector('underfoot-set').analyze(example);

const { frames, ...setup } = example;
const session = new Session(setup);
session.addEventListener('rep', ({ detail }) => {
  const item = document.createElement('li');
  item.textContent = `${detail.tempo.down_s.toFixed(1)} s down, ${detail.tempo.up_s.toFixed(1)} s up`;
  document.getElementById('reps').append(item);
});

// In your page an estimator gives a frame's points; here a recording does.
for (const { t_ms, points } of frames) {
  const live = session.push(t_ms, points);
  show('live', `${live.phase}, ${live.reps} repetitions`);
}
show('cue', session.report().cue.text);
session.free();
