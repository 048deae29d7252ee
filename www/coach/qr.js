// @ts-check
/** A link as a QR code (ISO/IEC 18004), so that a laptop hands it to a phone. */
// @ts-expect-error the library's types know only its package's name
import qrcode from '../vendor/qrcode-generator/qrcode.js';
import { svg } from '../app/dom.js';

/** Light border that readers need, in modules. */
const QUIET = 4;

/**
 * @param {string} text
 * @param {string} label for screen readers
 * @returns {SVGElement}
 */
export function qrCode(text, label) {
  const code = qrcode(0, 'L');
  code.addData(text, 'Byte');
  code.make();
  const count = code.getModuleCount();
  let path = '';
  for (let y = 0; y < count; y += 1) {
    for (let x = 0; x < count; x += 1) if (code.isDark(y, x)) path += `M${x + QUIET} ${y + QUIET}h1v1h-1z`;
  }
  const size = count + 2 * QUIET;
  const box = svg('svg', { class: 'qr', viewBox: `0 0 ${size} ${size}`, role: 'img', 'aria-label': label, 'shape-rendering': 'crispEdges' });
  // Dark on light in both themes: many readers refuse the inverse.
  box.append(svg('rect', { class: 'qr-ground', width: size, height: size }), svg('path', { class: 'qr-ink', d: path }));
  return box;
}
