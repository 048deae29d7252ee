// Small makers of nodes; text only ever goes in as text.

export function el(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children.filter((child) => child !== null));
  return node;
}

const SVG = 'http://www.w3.org/2000/svg';

/** Shapes that tell verdicts apart without colour. */
const SHAPES = {
  clear: 'M16.5 10a6.5 6.5 0 1 1-13 0a6.5 6.5 0 1 1 13 0',
  unsure: 'M3 10c2.4-5 4.6-5 7 0s4.6 5 7 0',
  fault: 'M10 2.5 18 17.5H2Z',
  unseen: 'M5 5 15 15M15 5 5 15',
};

export function shape(verdict) {
  const svg = document.createElementNS(SVG, 'svg');
  svg.setAttribute('viewBox', '0 0 20 20');
  svg.setAttribute('aria-hidden', 'true');
  const path = document.createElementNS(SVG, 'path');
  path.setAttribute('d', SHAPES[verdict] ?? SHAPES.unseen);
  svg.append(path);
  return svg;
}
