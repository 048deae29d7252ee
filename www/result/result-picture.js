// @ts-check
/** A result as one picture, to be sent or saved: the cue, what was seen, and the drawn figure. No video is in it. */
import { ink } from '../app/dom.js';
import { FaultMark } from '../figure/fault-mark.js';
import { jointIndex } from '../figure/joints.js';
import { nearest } from '../figure/player.js';
import { Stage } from '../figure/stage.js';
import { setFacts } from './set-facts.js';
import { depthWords, sideWords } from './words.js';
import { worstOf } from './worst.js';

/** Upright, four to five, as phones show it. */
const WIDTH = 1080;
const HIGH = 1350;
const EDGE = 64;

/** @param {import('../app/types.js').KeptSet} set @returns {Promise<Blob>} PNG */
export async function resultPicture(set) {
  const { report } = set;
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [WIDTH, HIGH];
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
  pen.fillStyle = ink('--paper');
  pen.fillRect(0, 0, WIDTH, HIGH);
  const style = getComputedStyle(document.documentElement);
  const [plain, book] = ['--plain', '--book'].map((name) => style.getPropertyValue(name));
  let y = EDGE;
  /** @param {string} text @param {string} font @param {number} size px @param {string} colour */
  const write = (text, font, size, colour) => {
    pen.font = `${font === book ? '700' : '400'} ${size}px ${font}`;
    pen.fillStyle = colour;
    pen.textBaseline = 'top';
    for (const line of wrapped(pen, text, WIDTH - 2 * EDGE)) {
      pen.fillText(line, EDGE, y);
      y += size * 1.28;
    }
    y += size * 0.35;
  };
  const count = report.reps.length;
  const depths = [...new Set(report.reps.map(depthWords))].filter(Boolean);
  write([...setFacts(set), sideWords(report.view)].filter(Boolean).join(' · '), plain, 30, ink('--ink-soft'));
  write(report.cue.text, book, 62, ink('--ink'));
  write(`${count} ${count === 1 ? 'rep' : 'reps'}${depths.length === 1 ? `, ${depths[0]}` : ''}. ${report.finding.sentence}`, plain, 36, ink('--ink'));
  await figure(pen, set, y, HIGH - EDGE - 50);
  y = HIGH - EDGE - 26;
  write('Underfoot: feedback, not a diagnosis.', plain, 26, ink('--ink-soft'));
  return new Promise((resolve, reject) => canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('no picture'))), 'image/png'));
}

/** @param {CanvasRenderingContext2D} pen @param {import('../app/types.js').KeptSet} set @param {number} top @param {number} bottom */
async function figure(pen, { recording, report }, top, bottom) {
  const worst = worstOf(report);
  if (!worst) return;
  const index = await jointIndex(recording.layout);
  const own = document.createElement('canvas');
  const stage = new Stage(own, recording, index, /** @type {any} */ (report.reps));
  stage.cut(Boolean(worst.check?.sided));
  const frame = nearest(
    recording.frames.map((f) => f.t_ms),
    worst.t_ms,
  );
  stage.draw(frame);
  const { check, side, mark } = worst;
  if (check && mark) {
    new FaultMark(recording, index, report).draw(/** @type {CanvasRenderingContext2D} */ (own.getContext('2d')), (p) => stage.place(p), frame, {
      check: check.key,
      side,
      value: mark.value,
      fault: mark.verdict === 'fault',
      label: '',
    });
  }
  pen.font = '400 30px sans-serif';
  pen.fillStyle = ink('--ink');
  pen.fillText(worst.words, EDGE, bottom - 34);
  const scale = Math.min((WIDTH - 2 * EDGE) / own.width, (bottom - 60 - top) / own.height);
  if (scale > 0) pen.drawImage(own, (WIDTH - own.width * scale) / 2, top, own.width * scale, own.height * scale);
}

/** @param {CanvasRenderingContext2D} pen @param {string} text @param {number} width */
function wrapped(pen, text, width) {
  /** @type {string[]} */
  const lines = [];
  let line = '';
  for (const word of text.split(' ')) {
    const longer = line ? `${line} ${word}` : word;
    if (line && pen.measureText(longer).width > width) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  return [...lines, line];
}

/** Shared where the device can, saved as a file elsewhere. @param {import('../app/types.js').KeptSet} set */
export async function sharePicture(set) {
  const { saveAs } = await import('../app/save-as.js');
  const name = `squat-${set.made.slice(0, 10)}.png`;
  const file = new File([await resultPicture(set)], name, { type: 'image/png' });
  if (matchMedia('(pointer: coarse)').matches && navigator.canShare?.({ files: [file] })) {
    await navigator.share({ files: [file] }).catch((error) => {
      if (error?.name !== 'AbortError') throw error;
    });
    return;
  }
  saveAs(name, file, 'image/png');
}
