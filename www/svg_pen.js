// The pen of a canvas that writes SVG instead: what draws the charts on the screen draws them as lines and letters.

import { make } from './dom.js';
import { draw } from './svg.js';

const short = (/** @type {number} */ n) => String(Number(n.toFixed(2)));

/** A colour as every reader of SVG knows it, and how much of it. @param {string} colour @returns {[string, string | null]} */
function paint(colour) {
  const [, r, g, b, alpha] = colour.match(/^rgba?\(\s*(\d+)[ ,]+(\d+)[ ,]+(\d+)(?:[ ,/]+([\d.]+))?\s*\)$/) ?? [];
  if (r === undefined) return [colour.trim(), null];
  const hex = [r, g, b].map((n) => Number(n).toString(16).padStart(2, '0')).join('');
  return [`#${hex}`, alpha === undefined || Number(alpha) === 1 ? null : alpha];
}

/**
 * A pen whose strokes go into an element of SVG.
 * @param {SVGElement} into @param {number} [left] @param {number} [top] where its sheet lies in that element
 * @returns {CanvasRenderingContext2D}
 */
export function svgPen(into, left = 0, top = 0) {
  // Letters are measured by a pen that knows how.
  const ruler = /** @type {CanvasRenderingContext2D} */ (make('canvas').getContext('2d'));
  let scale = 1;
  let path = '';
  let dashes = /** @type {number[]} */ ([]);
  const place = (/** @type {number} */ x, /** @type {number} */ y) => `${short(left + x * scale)} ${short(top + y * scale)}`;
  /** @param {string} name @param {Record<string, string | number>} attributes @param {string} kind @param {string} colour @param {...Node} inside */
  const put = (name, attributes, kind, colour, ...inside) => {
    const [what, alpha] = paint(colour);
    const other = kind === 'stroke' ? { fill: 'none', 'stroke-width': short(pen.lineWidth * scale), 'stroke-linejoin': 'round', ...(dashes.length > 0 ? { 'stroke-dasharray': dashes.map((d) => short(d * scale)).join(' ') } : {}) } : {};
    into.append(draw(name, { ...attributes, [kind]: what, ...(alpha === null ? {} : { [`${kind}-opacity`]: alpha }), ...other }, ...inside));
  };
  /** @param {number} x @param {number} y @param {number} width @param {number} height */
  const box = (x, y, width, height) => ({ x: short(left + x * scale), y: short(top + y * scale), width: short(width * scale), height: short(height * scale) });
  const own = {
    fillStyle: '#000',
    strokeStyle: '#000',
    lineWidth: 1,
    lineJoin: 'round',
    lineCap: 'butt',
    font: '10px sans-serif',
    textAlign: /** @type {CanvasTextAlign} */ ('start'),
    textBaseline: /** @type {CanvasTextBaseline} */ ('alphabetic'),
    /** Only ever a scale. @param {number} a */
    setTransform: (a) => void (scale = a),
    setLineDash: (/** @type {number[]} */ all) => void (dashes = all),
    beginPath: () => void (path = ''),
    closePath: () => void (path += 'Z'),
    moveTo: (/** @type {number} */ x, /** @type {number} */ y) => void (path += `M${place(x, y)}`),
    lineTo: (/** @type {number} */ x, /** @type {number} */ y) => void (path += `L${place(x, y)}`),
    /** Only ever a whole circle. @param {number} x @param {number} y @param {number} r */
    arc: (x, y, r) => {
      const radii = `${short(r * scale)} ${short(r * scale)}`;
      path += `M${place(x - r, y)}A${radii} 0 1 0 ${place(x + r, y)}A${radii} 0 1 0 ${place(x - r, y)}Z`;
    },
    stroke: () => put('path', { d: path }, 'stroke', pen.strokeStyle),
    fill: () => put('path', { d: path }, 'fill', pen.fillStyle),
    fillRect: (/** @type {[number, number, number, number]} */ ...at) => put('rect', box(...at), 'fill', pen.fillStyle),
    strokeRect: (/** @type {[number, number, number, number]} */ ...at) => put('rect', box(...at), 'stroke', pen.strokeStyle),
    measureText: (/** @type {string} */ text) => {
      ruler.font = pen.font;
      return ruler.measureText(text);
    },
    fillText: (/** @type {string} */ text, /** @type {number} */ x, /** @type {number} */ y) => {
      ruler.font = pen.font;
      const [, style, size, family] = ruler.font.match(/^(.*?)([\d.]+)px (.*)$/) ?? [];
      // Not every reader knows more than one line to set letters on.
      const rise = (/** @type {CanvasTextBaseline} */ baseline) => {
        ruler.textBaseline = baseline;
        return ruler.measureText(text).fontBoundingBoxAscent;
      };
      const down = rise('alphabetic') - rise(pen.textBaseline);
      const anchor = { center: 'middle', end: 'end', right: 'end', start: 'start', left: 'start' }[pen.textAlign];
      const weight = /\b(bold|[6-9]00)\b/.test(style ?? '') ? 600 : 400;
      const [tx, ty] = place(x, y + down).split(' ');
      put('text', { x: tx, y: ty, 'font-family': family ?? 'sans-serif', 'font-size': short(Number(size) * scale), 'text-anchor': anchor, 'font-weight': weight }, 'fill', pen.fillStyle, document.createTextNode(text));
    },
  };
  // The module that draws asks whether it is given a canvas' pen.
  const pen = /** @type {typeof own} */ (Object.create(CanvasRenderingContext2D.prototype, Object.getOwnPropertyDescriptors(own)));
  return /** @type {CanvasRenderingContext2D} */ (/** @type {unknown} */ (pen));
}

/** A canvas whose pen writes into an element of SVG. @param {SVGElement} into @param {number} left @param {number} top */
export function svgCanvas(into, left, top) {
  const canvas = make('canvas');
  const pen = svgPen(into, left, top);
  Object.defineProperty(canvas, 'getContext', { value: () => pen });
  return canvas;
}
