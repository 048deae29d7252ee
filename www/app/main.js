// @ts-check
/** Wires the start screen to the flows. */
import { $ } from './dom.js';
import { core } from './core.js';
import { recall, remember } from './memory.js';
import { followHistory, mayLeave, show, whenShown } from './screens.js';
import { startOffline } from './offline.js';
import { sayPolicy } from './policy.js';
import { startTheme } from './theme.js';
import { unfoldForPrint } from './fold.js';
import { Trouble, clearTrouble, showTrouble } from './trouble.js';
import { startDrop } from '../input/drop.js';
import { whatIs } from '../input/read-file.js';

/** Flows are loaded when they are first used, so that the first view stays small. */
const FLOWS = {
  example: async () => (await import('../flows/example.js')).runExample(),
  camera: async () => (await import('../flows/camera.js')).runCamera(),
  video: async (/** @type {File} */ file) => (await import('../flows/video.js')).runVideo(file),
  keypoints: async (/** @type {File} */ file) => (await import('../flows/keypoints.js')).runKeypoints(file),
  exampleResult: async () => (await import('../flows/example.js')).showExampleResult(),
  records: async () => (await import('../records/records-view.js')).showRecords(),
  result: async (/** @type {string} */ id) => (await import('../records/open-set.js')).openSet(id),
  compare: async (/** @type {string} */ ids) => (await import('../records/records-view.js')).compareSets(ids.split(',')),
  both: async (/** @type {string} */ ids) => (await import('../flows/both.js')).openBoth(ids.split(',')),
  sets: async (/** @type {File} */ file) => (await import('../records/records-view.js')).takeExport(file),
  coach: async () => (await import('../coach/desk-view.js')).showDesk(),
  results: async (/** @type {File[]} */ files) => (await import('../coach/desk-view.js')).takeIn(files),
  link: async (/** @type {string} */ fragment) => (await import('../asked/open-link.js')).openLink(fragment),
};

/** Files that a client sent back, or a whole desk. @param {string} name */
const isResult = (name) => /\.underfoot(-desk|\.txt)?$/.test(name);

/** What is at each address of the page's own; what a stranger's link brings has other words behind its `#`. @type {[RegExp, (rest: string) => Promise<void>][]} */
const ADDRESSES = [
  [/^$/, async () => show('start')],
  [/^#\/example$/, FLOWS.example],
  [/^#\/example\/result$/, FLOWS.exampleResult],
  [/^#\/saved$/, FLOWS.records],
  [/^#\/saved\/([\w,-]+)$/, FLOWS.compare],
  [/^#\/result\/([\w-]+)$/, FLOWS.result],
  [/^#\/both\/([\w,-]+)$/, FLOWS.both],
  [/^#\/coach$/, FLOWS.coach],
  // A reading or a set that is over can't be come back to.
  [
    /^#\/(?:reading|set)$/,
    async () => {
      history.replaceState(null, '', location.pathname + location.search);
      show('start');
    },
  ],
];

/** The flow that runs, if one does. @type {Promise<void> | null} */
let running = null;
/** Whether that flow reads a set, which lasts until somebody ends it. */
let reading = false;

/**
 * One flow runs at a time; whatever goes wrong ends as a sentence. A screen that is just opening is waited for.
 * @param {() => Promise<void>} flow @param {boolean} [reads] a set
 * @returns {void | Promise<void>}
 */
function run(flow, reads = false) {
  if (running && reading) return showTrouble(new Trouble('A set is being read: end it first.'));
  if (running) return running.then(() => run(flow, reads));
  reading = reads;
  const records = /** @type {HTMLButtonElement} */ ($('to-records'));
  records.disabled = true;
  clearTrouble();
  running = flow()
    .catch(showTrouble)
    .finally(() => {
      running = null;
      records.disabled = false;
    });
  return running;
}

/** @param {string} at from `#` on */
function goTo(at) {
  for (const [form, flow] of ADDRESSES) {
    const found = form.exec(at);
    if (found) return run(() => flow(found[1] ?? ''));
  }
  return run(() => FLOWS.link(at));
}

/** Whatever was chosen or dropped, by what is in it. @param {File} file */
async function openFile(file) {
  if (isResult(file.name)) return FLOWS.results([file]);
  return FLOWS[await whatIs(file)](file);
}

/** The first time, how to film it comes first; later it is behind a button of its own. @param {() => void} choose */
async function beforeVideo(choose) {
  if (recall('filming-told', false)) return choose();
  remember('filming-told', true);
  (await import('./film-like-this.js')).beforeChoosing(choose);
}

/** @param {string} button @param {string} input @param {(file: File) => Promise<void>} flow @param {(choose: () => void) => unknown} [first] */
function picker(button, input, flow, first = (choose) => choose()) {
  const chooser = /** @type {HTMLInputElement} */ ($(input));
  $(button).addEventListener('click', () => first(() => chooser.click()));
  chooser.addEventListener('change', () => {
    const file = chooser.files?.[0];
    chooser.value = '';
    if (file) run(() => flow(file), true);
  });
}

startTheme();
unfoldForPrint();
$('home').addEventListener('click', () => {
  if (mayLeave()) show('start');
});
document.querySelector('.skip')?.addEventListener('click', (event) => {
  event.preventDefault();
  $('main').focus();
});
$('how-to-film').addEventListener('click', async () => (await import('./film-like-this.js')).beforeChoosing(() => $('pick-video').click()));
$('trouble-close').addEventListener('click', clearTrouble);
$('to-records').addEventListener('click', () => run(FLOWS.records));
$('to-coach').addEventListener('click', () => run(FLOWS.coach));
$('way-example').addEventListener('click', () => run(FLOWS.example));
$('way-camera').addEventListener('click', () => run(FLOWS.camera, true));
picker('way-video', 'pick-video', openFile, beforeVideo);
picker('way-keypoints', 'pick-keypoints', openFile);
startDrop((files) =>
  run(async () => {
    if (files.some((file) => isResult(file.name))) return FLOWS.results(files);
    const [file, ...others] = files;
    await openFile(file);
    if (others.length) showTrouble(new Trouble(`One set at a time: ${file.name} was opened; drop ${others.map((f) => f.name).join(', ')} next.`));
  }, true),
);
followHistory(async (at, from) => {
  /** @type {HTMLDialogElement} */ ($('before')).close('back');
  // A reading that is left, and a set that is ended by it, are over first; a set then shows its result.
  if (running) {
    const set = from === 'live' && document.querySelector('#live.counting');
    show('start', { at });
    await running;
    if (set) return;
  }
  goTo(at);
});
const first = location.hash;
if (!first) show('start');
// A stranger's link waits for nothing: what else it needs is fetched while it is read.
const opened = first && !first.startsWith('#/') ? goTo(first) : null;
Promise.resolve(opened)
  .then(core)
  .then(async ({ version }) => {
    $('block-version').textContent = version;
    sayPolicy().catch(showTrouble);
    if (first && !opened) await goTo(first);
    const waiting = async () => (await import('./waiting.js')).showWaiting(run);
    whenShown('start', waiting);
    // What waits is asked of the database once the first view is there.
    requestIdleCallback ? requestIdleCallback(() => waiting().catch(showTrouble)) : setTimeout(waiting, 200);
  })
  .catch(showTrouble);
addEventListener('unhandledrejection', (event) => {
  event.preventDefault();
  showTrouble(event.reason);
});
Promise.resolve(opened).then(startOffline);
