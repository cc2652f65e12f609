// Small drawings as SVG, and SVG text as elements: the page's policy allows no markup in strings.

const SPACE = 'http://www.w3.org/2000/svg';

/**
 * A new SVG element.
 * @param {string} name @param {Record<string, string | number>} attributes @param {...Node} children
 * @returns {SVGElement}
 */
export function draw(name, attributes = {}, ...children) {
  const element = /** @type {SVGElement} */ (document.createElementNS(SPACE, name));
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, String(value));
  element.append(...children);
  return element;
}

/** An SVG document as an element of this page. @param {string} text */
export function parse(text) {
  const { documentElement } = new DOMParser().parseFromString(text, 'image/svg+xml');
  return document.importNode(documentElement, true);
}

const WIDE = 200;
const TALL = 36;

/**
 * The small picture of a finding: swings of A as rings above, of B as squares below, their means as strokes; between them
 * the interval of the change, laid at the mean of A; behind them the band of ordinary spread.
 * @param {NonNullable<import('./state.js').Finding['picture']>} picture
 */
export function swings(picture) {
  const x = (/** @type {number} */ share) => (share * WIDE).toFixed(1);
  const parts = [];
  if (picture.band) {
    const [from, to] = picture.band;
    parts.push(draw('rect', { class: 'band', x: x(from), y: 1, width: x(to - from), height: TALL - 2 }));
    for (const end of [from, to]) parts.push(draw('line', { class: 'band-edge', x1: x(end), x2: x(end), y1: 1, y2: TALL - 1 }));
  }
  for (const share of picture.a) parts.push(draw('circle', { class: 'of-a', cx: x(share), cy: 8, r: 3.2 }));
  for (const share of picture.b) parts.push(draw('rect', { class: 'of-b', x: (share * WIDE - 3).toFixed(1), y: TALL - 11, width: 6, height: 6 }));
  parts.push(draw('line', { class: 'mean-a', x1: x(picture.mean_a), x2: x(picture.mean_a), y1: 1, y2: 16 }));
  parts.push(draw('line', { class: 'mean-b', x1: x(picture.mean_b), x2: x(picture.mean_b), y1: TALL - 16, y2: TALL - 1 }));
  if (picture.interval) {
    const [from, to] = picture.interval;
    const middle = TALL / 2;
    parts.push(draw('line', { class: 'interval', x1: x(from), x2: x(to), y1: middle, y2: middle }));
    for (const end of [from, to]) parts.push(draw('line', { class: 'interval', x1: x(end), x2: x(end), y1: middle - 4, y2: middle + 4 }));
  }
  return draw('svg', { class: 'swings', viewBox: `0 0 ${WIDE} ${TALL}`, role: 'img', 'aria-label': picture.alt }, ...parts);
}
