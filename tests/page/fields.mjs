/**
 * pkg-template/docs/fields.md and its pictures: each field of a report on the picture of an invented lifter, with the values that the
 * package gave for it. `cargo xtask fields` makes them; the page's own scripts draw, onto an SVG in place of a canvas.
 *
 * node fields.mjs FOLDER with the recordings, one a picture, as NAME.json.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { BASE, browser, inProject } from './harness.mjs';

const INTO = inProject('pkg-template/docs');
const TEMPLATE = inProject('tests/page/fields.md');
const RECORDINGS = process.argv[2];

/**
 * In the page: the pictures and the values of one recording.
 * @param {{ recording: any, name: string, check: string | null }} what
 */
async function drawn({ recording, name, check }) {
  const [u, { Stage }, { FaultMark }, { jointIndex, personOf }] = await Promise.all(
    ['/pkg/index.js', '/figure/stage.js', '/figure/fault-mark.js', '/figure/joints.js'].map((path) => import(path)),
  );
  await u.init();
  const report = u.analyze(recording, { series: true });
  const index = await jointIndex(recording.layout);

  const AROUND = 110;
  /** What the drawings use of a canvas's pen, written as an SVG. */
  class Pen {
    constructor() {
      Object.assign(this, { canvas: null, out: [], d: '', dash: [], globalAlpha: 1, lineWidth: 1, strokeStyle: '', fillStyle: '', font: '' });
      Object.assign(this, { lineCap: 'butt', lineJoin: 'miter', textBaseline: 'alphabetic' });
    }
    /** @param {number[]} list */
    n = (...list) => list.map((v) => +v.toFixed(1)).join(' ');
    look = () => (this.globalAlpha === 1 ? '' : ` opacity="${this.globalAlpha}"`);
    beginPath() {
      this.d = '';
    }
    moveTo(x, y) {
      this.d += `M${this.n(x, y)}`;
    }
    lineTo(x, y) {
      this.d += `L${this.n(x, y)}`;
    }
    closePath() {
      this.d += 'Z';
    }
    ellipse(x, y, rx, ry) {
      this.d += `M${this.n(x - rx, y)}A${this.n(rx, ry)} 0 1 0 ${this.n(x + rx, y)}A${this.n(rx, ry)} 0 1 0 ${this.n(x - rx, y)}Z`;
    }
    setLineDash(dash) {
      this.dash = dash;
    }
    stroke() {
      const dash = this.dash.length ? ` stroke-dasharray="${this.n(...this.dash)}"` : '';
      this.out.push(
        `<path d="${this.d}" fill="none" stroke="${this.strokeStyle}" stroke-width="${this.n(this.lineWidth)}" stroke-linecap="${this.lineCap}" stroke-linejoin="${this.lineJoin}"${dash}${this.look()}/>`,
      );
    }
    fill() {
      this.out.push(`<path d="${this.d}" fill="${this.fillStyle}"${this.look()}/>`);
    }
    fillRect(x, y, w, h) {
      this.out.push(`<path d="M${this.n(x, y)}h${this.n(w)}v${this.n(h)}h${this.n(-w)}Z" fill="${this.fillStyle}"/>`);
    }
    size = () => Number(this.font.match(/([\d.]+)px/)?.[1] ?? 16);
    measureText(text) {
      return { width: text.length * this.size() * 0.56 };
    }
    fillText(text, x, y, anchor = 'start') {
      const base = this.textBaseline === 'middle' ? 0.35 * this.size() : 0;
      this.out.push(
        `<text x="${this.n(x)}" y="${this.n(y + base)}" text-anchor="${anchor}" font-family="sans-serif" font-size="${this.size()}" font-weight="600" fill="${this.fillStyle}">${text}</text>`,
      );
    }
    svg(title) {
      const { width, height } = this.canvas;
      // Room for words beside the figure.
      const wide = width + 2 * AROUND;
      const ground = `<path d="M${-AROUND} 0h${wide}v${height}h${-wide}Z" fill="${ink('--sheet')}"/>`;
      return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="${-AROUND} 0 ${wide} ${height}" width="${Math.round(wide / 2)}" height="${Math.round(height / 2)}" role="img"><title>${title}</title>${ground}${this.out.join('\n')}</svg>\n`;
    }
  }
  const ink = (name) => getComputedStyle(document.documentElement).getPropertyValue(name);
  const whole = (value, digits = 0) => `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(digits)}`;
  const nearest = (t_ms) =>
    recording.frames.reduce((best, { t_ms: t }, i) => (Math.abs(t - t_ms) < Math.abs(recording.frames[best].t_ms - t_ms) ? i : best), 0);
  const paper = (width, height) => {
    const pen = new Pen();
    pen.canvas = { width, height };
    pen.fillStyle = ink('--sheet');
    pen.fillRect(0, 0, width, height);
    pen.lineJoin = 'round';
    return pen;
  };
  const line = (pen, colour, width, dash, ...points) => {
    Object.assign(pen, { strokeStyle: colour, lineWidth: width, dash });
    pen.beginPath();
    points.forEach(([x, y], i) => pen[i ? 'lineTo' : 'moveTo'](x, y));
    pen.stroke();
    pen.dash = [];
  };
  const text = (pen, words, x, y, anchor = 'start', size = 24) => {
    Object.assign(pen, { font: `${size}px`, fillStyle: ink('--ink'), textBaseline: 'middle' });
    pen.fillText(words, x, y, anchor);
  };

  /** The value of a check, where the lifter shows it most. */
  const marks = check
    ? report.reps.flatMap((rep) =>
        rep[check].left ? ['left', 'right'].map((side) => ({ side, mark: rep[check][side], rep })) : [{ side: null, mark: rep[check], rep }],
      )
    : [];
  const even = check === 'load_left_pct' ? 50 : 0;
  // From the side the near foot hides the other.
  const near = report.view.azimuth_deg > 0 ? 'left' : 'right';
  const hidden = (side) => side && side !== near && Math.abs(Math.sin((report.view.azimuth_deg * Math.PI) / 180)) > 0.7;
  const best = marks
    .filter(({ side, mark }) => mark.value !== null && !hidden(side))
    .sort((a, b) => Math.abs(b.mark.value - even) - Math.abs(a.mark.value - even))[0];
  const said = {};
  let pen;
  if (check && !best) throw new Error(`${name}: ${check} is unseen: ${JSON.stringify(marks[0])}`);
  if (best) {
    const { side, mark, rep } = best;
    const stageCanvas = { width: 0, height: 0, getContext: () => pen };
    pen = new Pen();
    pen.canvas = stageCanvas;
    const stage = new Stage(stageCanvas, recording, index, report.reps);
    stage.cut(true);
    const frame = nearest(mark.at_ms);
    stage.draw(frame);
    const unit = { mm: ' mm', deg: '°', pct: ' %' }[check.split('_').at(-1)];
    const label = `${check === 'load_left_pct' ? mark.value.toFixed(0) : whole(mark.value)}${unit}`;
    new FaultMark(recording, index, report).draw(pen, (p) => stage.place(p), frame, { check, side, value: mark.value, fault: true, label });
    Object.assign(said, {
      side: side ?? '',
      value: whole(mark.value, 1),
      plain: mark.value.toFixed(1),
      sd: mark.sd.toFixed(1),
      verdict: mark.verdict,
      rep: rep.index,
    });
  } else if (name === 'time') {
    // The hips' height over the set, in the picture, and the first repetition's instants.
    pen = paper(1200, 430);
    const hips = recording.frames.flatMap((frame) => {
      const person = personOf(frame);
      const [a, b] = ['left_hip', 'right_hip'].map((joint) => person?.[index[joint]]);
      return a && b ? [[frame.t_ms, (a[1] + b[1]) / 2]] : [];
    });
    const [rep] = report.reps;
    const shown = hips.filter(([t]) => t > rep.start_ms - 1200 && t < rep.end_ms + 900);
    const [t0, t1] = [shown[0][0], shown.at(-1)[0]];
    const ys = shown.map(([, y]) => y);
    const [high, low] = [Math.min(...ys), Math.max(...ys)];
    const place = ([t, y]) => [20 + (1160 * (t - t0)) / (t1 - t0), 60 + (240 * (y - high)) / (low - high)];
    line(pen, ink('--ink'), 4, [], ...shown.map(place));
    for (const [field, words] of [
      ['start_ms', 'start_ms'],
      ['bottom_ms', 'bottom_ms'],
      ['end_ms', 'end_ms'],
    ]) {
      const [x] = place([rep[field], high]);
      line(pen, ink('--pencil'), 2.5, [9, 7], [x, 40], [x, 350]);
      text(pen, words, x, 22, 'middle');
    }
    const spans = [
      ['down_s', rep.start_ms, rep.bottom_ms],
      ['pause_s', rep.bottom_ms, rep.bottom_ms + 1000 * rep.tempo.pause_s],
      ['up_s', rep.end_ms - 1000 * rep.tempo.up_s, rep.end_ms],
    ];
    for (const [field, from, to] of spans) {
      const [[a], [b]] = [place([from, high]), place([to, high])];
      if (b - a < 4) continue;
      line(pen, ink('--ink-soft'), 3, [], [a + 2, 366], [b - 2, 366]);
      text(pen, field === 'pause_s' ? 'pause_s' : `${field} ${rep.tempo[field].toFixed(1)}`, (a + b) / 2, field === 'pause_s' ? 408 : 390, 'middle', 22);
    }
    Object.assign(said, { start: Math.round(rep.start_ms), bottom: Math.round(rep.bottom_ms), end: Math.round(rep.end_ms), depth: rep.depth.toFixed(2) });
    for (const [field] of spans) said[field] = rep.tempo[field].toFixed(2);
  } else if (name === 'thigh') {
    const [rep] = report.reps;
    const frame = nearest(rep.thigh_deg.at_ms);
    pen = new Pen();
    const canvas = { width: 0, height: 0, getContext: () => pen };
    pen.canvas = canvas;
    const stage = new Stage(canvas, recording, index, report.reps);
    stage.draw(frame);
    const person = personOf(recording.frames[frame]);
    const [hip, knee] = ['hip', 'knee'].map((joint) => stage.place(person[index[`${near}_${joint}`]]));
    line(pen, ink('--sheet'), 12, [], knee, hip);
    line(pen, ink('--pencil'), 6, [], knee, hip);
    line(pen, ink('--ink'), 4, [12, 9], [knee[0] - Math.sign(knee[0] - hip[0]) * 220, knee[1]], [knee[0] + Math.sign(knee[0] - hip[0]) * 40, knee[1]]);
    text(pen, `${whole(rep.thigh_deg.value)}°`, knee[0] + Math.sign(knee[0] - hip[0]) * 60, knee[1], knee[0] > hip[0] ? 'start' : 'end', 40);
    Object.assign(said, { value: whole(rep.thigh_deg.value, 1), sd: rep.thigh_deg.sd.toFixed(1) });
  } else if (name === 'standing') {
    // From above, to scale: both feet as they stand, and where the camera is seen from the lifter.
    const { view, standing } = report;
    pen = paper(760, 620);
    const [cx, cy, per] = [380, 210, 0.62];
    const RAD = Math.PI / 180;
    for (const [side, sign] of [
      ['left', 1],
      ['right', -1],
    ]) {
      const out = sign * standing.toe_out_deg[side] * RAD;
      // Forward is down the paper, the lifter's left on its right: as the camera in front sees it.
      const spot = (along, across) => [
        cx + (sign * standing.stance_width_mm * per) / 2 + per * (along * Math.sin(out) + across * Math.cos(out)),
        cy + per * (along * Math.cos(out) - across * Math.sin(out)),
      ];
      const sole = [
        [-60, -30],
        [-75, 0],
        [-60, 30],
        [60, 46],
        [150, 50],
        [190, 10],
        [185, -25],
        [150, -42],
        [60, -36],
      ].map(([a, b]) => spot(a, sign * b));
      Object.assign(pen, { fillStyle: ink('--shade'), strokeStyle: ink('--ink'), lineWidth: 3 });
      pen.beginPath();
      sole.forEach(([x, y], i) => pen[i ? 'lineTo' : 'moveTo'](x, y));
      pen.closePath();
      pen.fill();
      pen.stroke();
      line(pen, ink('--pencil'), 4, [12, 8], spot(-75, 0), spot(300, 0));
      line(pen, ink('--ink'), 2, [4, 6], spot(0, 0), [spot(0, 0)[0], spot(0, 0)[1] + 190]);
      const [x, y] = spot(330, 0);
      text(pen, `toe_out_deg.${side} ${standing.toe_out_deg[side].toFixed(0)}`, x + sign * 10, y, side === 'left' ? 'start' : 'end', 22);
    }
    const [a, b] = [cx - (standing.stance_width_mm * per) / 2, cx + (standing.stance_width_mm * per) / 2];
    line(pen, ink('--ink'), 3, [], [a, cy], [b, cy]);
    text(pen, `stance_width_mm ${standing.stance_width_mm.toFixed(0)}`, cx, cy - 95, 'middle', 22);
    line(pen, ink('--ink'), 2, [4, 6], [a, cy], [a, cy - 80], [b, cy - 80], [b, cy]);
    const to = [cx + 370 * Math.sin(view.azimuth_deg * RAD), cy + 370 * Math.cos(view.azimuth_deg * RAD)];
    line(pen, ink('--pencil'), 3, [], [cx, cy], to);
    line(pen, ink('--ink'), 2, [4, 6], [cx, cy], [cx, cy + 370]);
    Object.assign(pen, { fillStyle: ink('--pencil') });
    pen.beginPath();
    pen.ellipse(to[0], to[1], 14, 14);
    pen.fill();
    text(
      pen,
      `camera: azimuth_deg ${whole(view.azimuth_deg)}`,
      to[0] + (view.azimuth_deg > 0 ? 24 : -24),
      to[1] + 8,
      view.azimuth_deg > 0 ? 'start' : 'end',
      22,
    );
    Object.assign(said, {
      azimuth: whole(view.azimuth_deg),
      azimuth_sd: view.azimuth_sd_deg.toFixed(0),
      distance: view.distance_m.toFixed(1),
      view: view.name,
      stance: standing.stance_width_mm.toFixed(0),
      height: standing.height_m.toFixed(2),
    });
  }
  return { svg: pen.svg(`${name}: ${check ?? 'instants and places'}`), said };
}

/** Every field of the schema below the report, with its description. @returns {string} */
function table() {
  const { definitions } = JSON.parse(readFileSync(inProject('pkg-template/report.schema.json'), 'utf8'));
  const rows = [];
  const nameOf = (ref) => `\`${decodeURIComponent(ref.split('/').at(-1))}\``;
  const typeOf = (node) => {
    if (node.$ref) return nameOf(node.$ref);
    if (node.type === 'array') return `list of ${typeOf(node.items)}`;
    if (node.anyOf) return node.anyOf.map(typeOf).join(' or ');
    if (node.enum) return node.enum.length > 9 ? 'a code' : node.enum.map((v) => `\`${v}\``).join(', ');
    if (node.const !== undefined) return `\`${node.const}\``;
    return [node.type].flat().join(' or ');
  };
  for (const name of ['Report', 'View', 'Standing', 'RepResult', 'Mark', 'Finding', 'Cue', 'Note', 'FootSet', 'Series', 'Curves', 'Contacts', 'SourcedLines']) {
    const of = definitions[name];
    if (!of) throw new Error(`no definition of ${name}`);
    rows.push(`### ${name}\n\n${of.description ?? ''}\n\n| field | what it is | type |\n|---|---|---|`);
    for (const [field, node] of Object.entries(of.properties)) {
      const words = (node.description ?? definitions[node.$ref?.split('/').at(-1)]?.description ?? '').replaceAll(/\s+/g, ' ').replaceAll('|', '\\|');
      rows.push(`| \`${field}\` | ${words} | ${typeOf(node).replaceAll('|', '\\|')} |`);
    }
    rows.push('');
  }
  return rows.join('\n');
}

/** The codes of notes with their English, from the core's own tables. @returns {string} */
function codes() {
  const read = (name) => readFileSync(inProject(`src/cue/${name}.rs`), 'utf8');
  const pairs = (text) => [...text.matchAll(/^ {4}(\w+) => "(.+)",$/gm)].map(([, key, words]) => [key, words]);
  const english = Object.fromEntries(pairs(read('text')));
  return pairs(read('ids'))
    .map(([say, id]) => `| \`${id}\` | ${english[say]} |`)
    .join('\n');
}

/** The names of the cues. @returns {string} */
function cues() {
  const { definitions } = JSON.parse(readFileSync(inProject('pkg-template/report.schema.json'), 'utf8'));
  return definitions.CueId.enum.map((id) => `\`${id}\``).join(', ');
}

/** Pictures by name: the check that is drawn; null for those that draw none. */
const PICTURES = {
  'knee-inside': 'knee_in_deg',
  'knee-outside': 'knee_in_deg',
  heel: 'heel_lift_mm',
  'roll-inward': 'foot_roll_deg',
  'roll-outward': 'foot_roll_deg',
  forward: 'forward_pct',
  load: 'load_left_pct',
  time: null,
  thigh: null,
  standing: null,
};

mkdirSync(INTO, { recursive: true });
const chromium = await browser();
const page = await (await chromium.newContext({ colorScheme: 'light', serviceWorkers: 'block' })).newPage();
await page.goto(BASE);
let text = readFileSync(TEMPLATE, 'utf8').replace('{{table}}', table).replace('{{codes}}', codes).replace('{{cues}}', cues);
for (const [name, check] of Object.entries(PICTURES)) {
  const recording = JSON.parse(readFileSync(join(RECORDINGS, `${name}.json`), 'utf8'));
  const { svg, said } = await page.evaluate(drawn, { recording, name, check });
  writeFileSync(join(INTO, `${name}.svg`), svg);
  text = text.replaceAll(new RegExp(`\\{\\{${name}\\.(\\w+)\\}\\}`, 'g'), (_, key) => {
    if (said[key] === undefined) throw new Error(`${name}: no ${key} among ${Object.keys(said)}`);
    return said[key];
  });
}
await chromium.close();
const open = text.match(/\{\{.*?\}\}/);
if (open) throw new Error(`nothing for ${open[0]}`);
writeFileSync(join(INTO, 'fields.md'), text);
console.log(INTO);
