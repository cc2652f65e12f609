// The pictures of the Bench on one sheet, to be kept: whose they are, the day, the events, the charts under each other.

import { toPx } from './axis.js';
import { redraw } from './bench.js';
import { inWords, ofBench } from './careful.js';
import { make } from './dom.js';
import { idsOf, labelOf, selected, shown, state } from './state.js';
import { draw } from './svg.js';
import { svgCanvas, svgPen } from './svg_pen.js';

/** Height of the time axis under the last chart. */
const AXIS_PX = 24;

/** The day as it is written. */
export const today = () => new Date().toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric' });

/** What stands above the pictures, the largest first. */
function heading() {
  const swings = (/** @type {'A' | 'B'} */ set) => `${set}, “${labelOf(set)}”: ${idsOf(set).length} swing${idsOf(set).length === 1 ? '' : 's'}`;
  const whose = state.show === 'sets' ? `${swings('A')}; ${swings('B')}` : (selected()?.name ?? '');
  const title = state.words.title.trim();
  const about = `Torque ${shown()?.bench.about ?? ''}; ${state.settings.handed}-handed`;
  return [...(title === '' ? [] : [title]), whose, `${about}; ${today()}`];
}

/** What warns of the pictures, each once. */
function cautions() {
  const sets = state.sets !== null && shown() === state.sets;
  const all = ['', 'plan', ...(shown()?.bench.charts.map((c) => c.id) ?? [])].flatMap((what) => ofBench(what, sets));
  return [...new Set(all.map(inWords))];
}

/** Lines no wider than they may be. @param {CanvasRenderingContext2D} pen @param {string} text @param {number} width */
function wrapped(pen, text, width) {
  const lines = [''];
  for (const word of text.split(' ')) {
    const longer = `${lines[lines.length - 1]} ${word}`.trim();
    if (pen.measureText(longer).width <= width) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}

/** The events that the Bench shows: their words, where they stand over the charts, whether they are estimated. */
function events() {
  const [from, to] = state.window ?? [0, 0];
  const seen = shown()?.bench.events.filter(({ t_s }) => t_s >= from && t_s <= to) ?? [];
  return seen
    .filter((event) => event.id !== 'transition' || !seen.some((top) => top.id === 'top' && Math.abs(top.t_s - event.t_s) < 0.0005))
    .map(({ label, source, t_s }) => ({ text: source === 'estimated' ? `${label} (est.)` : label, x: toPx(t_s), estimated: source === 'estimated' }))
    .sort((a, b) => a.x - b.x);
}

/** What the Bench shows, with the pictures on it. */
function drawnNow() {
  const figures = [...document.querySelectorAll('#bench figure')].filter((f) => {
    const canvas = f.querySelector('canvas');
    return canvas && canvas.width > 0 && canvas.clientWidth > 0;
  });
  return { figures, all: figures.map((f) => /** @type {HTMLCanvasElement} */ (f.querySelector('canvas'))) };
}

/** The sheet as pixels, as fine as the screen. @returns {HTMLCanvasElement | null} */
export function chartSheet() {
  const { figures, all } = drawnNow();
  const sheet = make('canvas');
  const pen = sheet.getContext('2d');
  if (figures.length === 0 || !pen) return null;
  const resize = (/** @type {number} */ width, /** @type {number} */ height) => void ([sheet.width, sheet.height] = [width, height]);
  compose(figures, all, pen, all[0].width / all[0].clientWidth, resize, (canvas, x, y) => pen.drawImage(canvas, x, y));
  return sheet;
}

/** The sheet as lines and letters, in the page's own pixels: the text of an SVG file. @returns {string | null} */
export function chartSvg() {
  const { figures, all } = drawnNow();
  if (figures.length === 0) return null;
  const sheet = draw('svg', { role: 'img' }, draw('title', {}, document.createTextNode(heading().join('; '))));
  const resize = (/** @type {number} */ width, /** @type {number} */ height) => {
    for (const [name, value] of Object.entries({ width, height, viewBox: `0 0 ${width} ${height}` })) sheet.setAttribute(name, String(value));
  };
  const sizes = all.map((c) => ({ width: c.clientWidth, height: c.clientHeight }));
  compose(figures, sizes, svgPen(sheet), 1, resize, (size, x, y) => {
    const part = sheet.appendChild(draw('g'));
    redraw(figures[sizes.indexOf(size)], svgCanvas(part, x, y));
  });
  return new XMLSerializer().serializeToString(sheet);
}

/**
 * Lays the pictures under each other, below what they are of.
 * @template {{width: number, height: number}} T
 * @param {Element[]} figures @param {T[]} all their pictures @param {CanvasRenderingContext2D} pen
 * @param {number} fine units of the pen in one pixel of the page @param {(width: number, height: number) => void} resize
 * @param {(picture: T, x: number, y: number) => void} put
 */
function compose(figures, all, pen, fine, resize, put) {
  const style = getComputedStyle(document.documentElement);
  const [margin, letters] = [24 * fine, 14 * fine];
  const line = 1.5 * letters;
  const font = (/** @type {boolean} */ bold) => `${bold ? 600 : 400} ${letters}px ${style.fontFamily}`;
  pen.font = font(false);
  // Names side by side where they fit, else a row down.
  const rows = /** @type {number[]} */ ([]);
  const marks = events().map((event) => {
    const half = pen.measureText(event.text).width / 2;
    const x = margin + event.x * fine;
    const middle = Math.max(x, margin + half);
    let row = rows.findIndex((end) => end <= middle - half);
    if (row < 0) row = rows.length;
    rows[row] = middle + half + letters / 2;
    return { ...event, x, middle, row };
  });
  const words = heading();
  const widest = Math.max(...all.map((c) => c.width), ...words.map((text) => pen.measureText(text).width * 1.1));
  words.push(...cautions().flatMap((text) => wrapped(pen, text, widest)));
  const top = margin + (words.length + rows.length) * line;
  const width = Math.ceil(widest + 2 * margin);
  const height = Math.ceil(all.reduce((sum, c) => sum + c.height + 2 * letters, top + margin));
  resize(width, height);
  pen.fillStyle = style.getPropertyValue('--paper');
  pen.fillRect(0, 0, width, height);
  const [ink, soft] = [style.getPropertyValue('--ink'), style.getPropertyValue('--soft')];
  for (const [i, text] of words.entries()) {
    pen.fillStyle = i === 0 ? ink : soft;
    pen.font = font(i === 0);
    pen.fillText(text, margin, margin + i * line + letters);
  }
  pen.font = font(false);
  pen.fillStyle = soft;
  pen.textAlign = 'center';
  for (const { text, middle, row } of marks) pen.fillText(text, middle, margin + (words.length + row) * line + letters);
  pen.textAlign = 'start';
  const charts = figures.filter((f) => f.classList.contains('chart'));
  let y = top;
  for (const [i, picture] of all.entries()) {
    pen.fillStyle = ink;
    pen.font = font(true);
    pen.fillText(figures[i].querySelector('.title')?.textContent ?? 'Plan view', margin, y + letters);
    put(picture, margin, y + line);
    if (charts.includes(figures[i])) {
      // The last chart has the axis' figures below it, which no line may strike.
      const below = figures[i] === charts.at(-1) ? AXIS_PX * fine : 0;
      pen.strokeStyle = soft;
      pen.lineWidth = fine;
      for (const { x, estimated } of marks) {
        pen.setLineDash(estimated ? [4 * fine, 3 * fine] : []);
        pen.beginPath();
        pen.moveTo(x, y + line);
        pen.lineTo(x, y + line + picture.height - below);
        pen.stroke();
      }
    }
    y += picture.height + 2 * letters;
  }
}
