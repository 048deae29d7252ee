// @ts-check
/** Wires the start screen to the flows. */
import { $ } from './dom.js';
import { core } from './core.js';
import { recall } from './memory.js';
import { show, whenShown } from './screens.js';
import { startOffline } from './offline.js';
import { startTheme } from './theme.js';
import { Trouble, clearTrouble, showTrouble } from './trouble.js';
import { startDrop } from '../input/drop.js';
import { kindOf } from '../input/read-file.js';

/** Flows are loaded when they are first used, so that the first view stays small. */
const FLOWS = {
  example: async () => (await import('../flows/example.js')).runExample(),
  camera: async () => (await import('../flows/camera.js')).runCamera(),
  video: async (/** @type {File} */ file) => (await import('../flows/video.js')).runVideo(file),
  keypoints: async (/** @type {File} */ file) => (await import('../flows/keypoints.js')).runKeypoints(file),
  records: async () => (await import('../records/records-view.js')).showRecords(),
  sets: async (/** @type {File} */ file) => (await import('../records/records-view.js')).takeExport(file),
  coach: async () => (await import('../coach/desk-view.js')).showDesk(),
  results: async (/** @type {File[]} */ files) => (await import('../coach/desk-view.js')).takeIn(files),
  link: async (/** @type {string} */ fragment) => (await import('../asked/open-link.js')).openLink(fragment),
};

/** Files that a client sent back, or a whole desk. @param {string} name */
const isResult = (name) => /\.underfoot(-desk)?$/.test(name);

/** Asked before the code for it is loaded, so that an ordinary first view stays small. */
const somethingWaits = () => /** @type {any} */ (recall('asked', /** @type {object} */ ([]))).length > 0 || recall('under-way', false) || $('waiting').childElementCount > 0;

let busy = false;

/** One flow starts at a time; whatever goes wrong ends as a sentence. @param {() => Promise<void>} flow */
async function run(flow) {
  if (busy) return showTrouble(new Trouble('A set is being read: end it first.'));
  busy = true;
  /** @type {HTMLButtonElement} */ ($('to-records')).disabled = true;
  clearTrouble();
  try {
    await flow();
  } catch (error) {
    showTrouble(error);
  } finally {
    busy = false;
    /** @type {HTMLButtonElement} */ ($('to-records')).disabled = false;
  }
}

/** @param {string} button @param {string} input @param {(file: File) => Promise<void>} flow */
function picker(button, input, flow) {
  const chooser = /** @type {HTMLInputElement} */ ($(input));
  $(button).addEventListener('click', () => chooser.click());
  chooser.addEventListener('change', () => {
    const file = chooser.files?.[0];
    chooser.value = '';
    if (file) run(() => flow(file));
  });
}

startTheme();
show('start');
$('home').addEventListener('click', () => show('start'));
$('trouble-close').addEventListener('click', clearTrouble);
$('to-records').addEventListener('click', () => run(FLOWS.records));
$('to-coach').addEventListener('click', () => run(FLOWS.coach));
$('way-example').addEventListener('click', () => run(FLOWS.example));
$('way-camera').addEventListener('click', () => run(FLOWS.camera));
picker('way-video', 'pick-video', FLOWS.video);
picker('way-keypoints', 'pick-keypoints', (file) => (isResult(file.name) ? FLOWS.results([file]) : FLOWS.keypoints(file)));
startDrop((files) => run(async () => {
  if (files.some((file) => isResult(file.name))) return FLOWS.results(files);
  const [file, ...others] = files;
  const flow = file.name.endsWith('.zip') ? FLOWS.sets : kindOf(file) === 'video' ? FLOWS.video : FLOWS.keypoints;
  await flow(file);
  if (others.length) showTrouble(new Trouble(`One set at a time: ${file.name} was opened; drop ${others.map((f) => f.name).join(', ')} next.`));
}));
/** The skip link's target is no link of ours. */
const fromAddress = () => { if (location.hash.length > 1 && location.hash !== '#main') run(() => FLOWS.link(location.hash)); };
core().then(({ version }) => {
  $('block-version').textContent = version;
  fromAddress();
  const waiting = async () => { if (somethingWaits()) await (await import('./waiting.js')).showWaiting(run); };
  whenShown('start', waiting);
  return waiting();
}).catch(showTrouble);
addEventListener('hashchange', fromAddress);
addEventListener('unhandledrejection', (event) => { event.preventDefault(); showTrouble(event.reason); });
startOffline();
