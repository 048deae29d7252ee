// @ts-check
/** Marking feet and shins in a still picture: with a finger, the mouse or keys. */
import { announce, el } from '../app/dom.js';
import { drawMarks } from './draw-marks.js';
import { JOINTS, PARTS, SIDES, VIEWS, nameOf, swapped, template } from './joints.js';

/** @typedef {import('./joints.js').Joints} Joints */
/** @typedef {import('./joints.js').MarkedJoint} MarkedJoint */

/** A mark is taken by a finger within this distance, px of the screen. */
const REACH = 44;
/** Side of the magnified piece, px of the screen, and how much it magnifies. */
const LOUPE = 120;
const TIMES = 3;
/** Steps of the arrow keys, px of the picture; and with Shift. */
const STEP = [1, 10];

/**
 * Lets the reader mark the joints of a picture.
 * @param {HTMLElement} place filled with the screen
 * @param {{ picture: HTMLCanvasElement, proposed: Joints | null, why: string, go: string, cancel?: string }} given proposed: where something
 *   has found the legs; why: the sentence above; go, cancel: what the buttons say
 * @param {AbortSignal} signal
 * @returns {Promise<Joints | null>} null when it is cancelled
 */
export function askMarks(place, { picture, proposed, why, go, cancel = 'Cancel' }, signal) {
  const { width, height } = picture;
  /** @type {Joints} */
  let joints = proposed ?? template('front', width, height);
  /** @type {Joints[]} */
  const before = [];
  /** @type {MarkedJoint} */
  let chosen = 'left_knee';
  const canvas = el('canvas', { class: 'marking-picture', tabindex: 0, role: 'application', 'aria-describedby': 'marking-keys', width, height });
  const loupe = el('canvas', { class: 'marking-loupe', width: LOUPE, height: LOUPE, 'aria-hidden': 'true' });
  const what = el('p', { class: 'marking-what', role: 'status' });
  const undo = el('button', { type: 'button', class: 'plain', onclick: () => back() }, 'Undo');
  const chips = SIDES.map((side) =>
    el(
      'fieldset',
      { class: `marking-leg ${side}` },
      el('legend', {}, side === 'left' ? '○ Lifter’s left leg' : '□ Lifter’s right leg'),
      el(
        'label',
        {},
        el('input', {
          type: 'checkbox',
          name: `shows-${side}`,
          checked: true,
          onchange: (/** @type {Event} */ event) => showLeg(side, /** @type {HTMLInputElement} */ (event.target).checked),
        }),
        ' shows in the picture',
      ),
      el(
        'div',
        { class: 'marking-chips' },
        ...PARTS.map(([part, name]) =>
          el(
            'button',
            {
              type: 'button',
              class: 'plain',
              'data-joint': `${side}_${part}`,
              onclick: () => {
                choose(/** @type {MarkedJoint} */ (`${side}_${part}`));
                canvas.focus();
              },
            },
            name,
          ),
        ),
      ),
    ),
  );
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
  /** How many px of the picture one px of the screen is. */
  const grain = () => width / Math.max(1, canvas.clientWidth);

  function draw() {
    pen.drawImage(picture, 0, 0);
    drawMarks(pen, joints, ([x, y]) => [x, y], 6 * Math.max(1, grain()), chosen);
    const at = joints[chosen];
    const near = /** @type {CanvasRenderingContext2D} */ (loupe.getContext('2d'));
    loupe.hidden = !at;
    if (at) {
      const piece = (LOUPE / TIMES) * grain();
      near.fillRect(0, 0, LOUPE, LOUPE);
      near.drawImage(picture, at[0] - piece / 2, at[1] - piece / 2, piece, piece, 0, 0, LOUPE, LOUPE);
      drawMarks(near, { [chosen]: at }, () => [LOUPE / 2, LOUPE / 2], 7, chosen);
      // Never under the finger: in the corner that is further away.
      loupe.classList.toggle('right', at[0] < width / 2);
    }
    undo.disabled = before.length === 0;
    canvas.setAttribute('aria-label', `The picture. ${nameOf(chosen)}${at ? ` at ${Math.round(at[0])}, ${Math.round(at[1])}` : ' is not marked'}`);
  }

  /** @param {MarkedJoint} joint */
  function choose(joint) {
    chosen = joint;
    const [, name, hint] = PARTS.find(([part]) => joint.endsWith(part)) ?? PARTS[0];
    what.textContent = `${joint.startsWith('left') ? 'Left' : 'Right'} ${name}: ${hint}.`;
    for (const chip of place.querySelectorAll('[data-joint]')) chip.setAttribute('aria-pressed', String(chip.getAttribute('data-joint') === joint));
    draw();
  }

  /** @param {Joints} next */
  function change(next) {
    before.push(joints);
    joints = next;
    draw();
  }

  function back() {
    joints = before.pop() ?? joints;
    draw();
  }

  /** @param {'left' | 'right'} side @param {boolean} shows */
  function showLeg(side, shows) {
    const kept = Object.entries(joints).filter(([joint]) => !joint.startsWith(side));
    const again = Object.entries(proposed ?? template('front', width, height)).filter(([joint]) => joint.startsWith(side));
    change(Object.fromEntries([...kept, ...(shows ? again : [])]));
  }

  /** @param {MarkedJoint} joint @param {number} x @param {number} y */
  function moved(joint, x, y) {
    const inside = (/** @type {number} */ v, /** @type {number} */ most) => Math.min(most - 1, Math.max(0, v));
    joints = { ...joints, [joint]: [inside(x, width), inside(y, height)] };
    draw();
  }

  /** Where a pointer is in the picture. @param {PointerEvent} event @returns {[number, number]} */
  function placeOf(event) {
    const box = canvas.getBoundingClientRect();
    return [((event.clientX - box.left) / box.width) * width, ((event.clientY - box.top) / box.height) * height];
  }

  /** What is dragged, and how far from its middle it was taken. @type {{ joint: MarkedJoint, by: [number, number] } | null} */
  let held = null;
  canvas.addEventListener('pointerdown', (event) => {
    const [x, y] = placeOf(event);
    const far = (/** @type {MarkedJoint} */ joint) => {
      const at = joints[joint];
      return at ? Math.hypot(at[0] - x, at[1] - y) : Infinity;
    };
    // The chosen one first, or the nearest: a foot's marks lie close together.
    const nearest = JOINTS.reduce((a, b) => (far(b) < far(a) ? b : a));
    const joint = far(chosen) < REACH * grain() && far(chosen) < 2 * far(nearest) + 8 ? chosen : nearest;
    if (far(joint) > REACH * grain()) return;
    event.preventDefault();
    canvas.setPointerCapture(event.pointerId);
    canvas.focus();
    const at = /** @type {[number, number]} */ (joints[joint]);
    held = { joint, by: [at[0] - x, at[1] - y] };
    before.push(joints);
    choose(joint);
  });
  canvas.addEventListener('pointermove', (event) => {
    if (!held) return;
    const [x, y] = placeOf(event);
    moved(held.joint, x + held.by[0], y + held.by[1]);
  });
  const dropped = () => {
    if (!held) return;
    announce(`${nameOf(held.joint)} put`);
    held = null;
  };
  canvas.addEventListener('pointerup', dropped);
  canvas.addEventListener('pointercancel', dropped);
  canvas.addEventListener('keydown', (event) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    const at = joints[chosen];
    if (way && at) {
      event.preventDefault();
      const step = STEP[event.shiftKey ? 1 : 0];
      before.push(joints);
      moved(chosen, at[0] + way[0] * step, at[1] + way[1] * step);
    } else if (event.key === 'z' && (event.ctrlKey || event.metaKey)) {
      event.preventDefault();
      back();
    }
  });

  return new Promise((resolve) => {
    const done = (/** @type {Joints | null} */ answer) => {
      place.replaceChildren();
      place.hidden = true;
      resolve(answer);
    };
    signal.addEventListener('abort', () => done(null), { once: true });
    place.replaceChildren(
      el('h2', {}, 'Show feet and shins'),
      el('p', {}, why),
      el(
        'p',
        { class: 'actions' },
        ...VIEWS.map(([view, name]) =>
          el('button', { type: 'button', class: 'plain', 'data-view': view, onclick: () => change(template(view, width, height)) }, name),
        ),
        el('button', { type: 'button', class: 'plain', onclick: () => change(swapped(joints)) }, 'Swap left and right'),
        undo,
      ),
      what,
      el('div', { class: 'marking-frame' }, canvas, loupe),
      el('p', { id: 'marking-keys', class: 'figures' }, 'Drag a mark, or choose it below and use the arrow keys (Shift: ten times as far).'),
      el('div', { class: 'two-up' }, ...chips),
      el(
        'p',
        { class: 'actions' },
        el('button', { type: 'button', 'data-go': true, onclick: () => done(joints) }, go),
        el('button', { type: 'button', class: 'plain', onclick: () => done(null) }, cancel),
      ),
    );
    place.hidden = false;
    choose(chosen);
    new ResizeObserver(draw).observe(canvas);
  });
}
