// The pictures of the Bench on one sheet, to be kept: whose they are, the day, the events, the charts under each other.

import { toPx } from './axis.js';
import { make } from './dom.js';
import { idsOf, labelOf, selected, shown, state } from './state.js';

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

/** The events that the Bench shows: their words, where they stand over the charts, whether they are estimated. */
function events() {
  const [from, to] = state.window ?? [0, 0];
  const seen = shown()?.bench.events.filter(({ t_s }) => t_s >= from && t_s <= to) ?? [];
  return seen
    .filter((event) => event.id !== 'transition' || !seen.some((top) => top.id === 'top' && Math.abs(top.t_s - event.t_s) < 0.0005))
    .map(({ label, source, t_s }) => ({ text: source === 'estimated' ? `${label} (est.)` : label, x: toPx(t_s), estimated: source === 'estimated' }))
    .sort((a, b) => a.x - b.x);
}

/** @returns {HTMLCanvasElement | null} */
export function chartSheet() {
  const figures = [...document.querySelectorAll('#bench figure')].filter((f) => {
    const canvas = f.querySelector('canvas');
    return canvas && canvas.width > 0 && canvas.clientWidth > 0;
  });
  if (figures.length === 0) return null;
  const all = figures.map((f) => /** @type {HTMLCanvasElement} */ (f.querySelector('canvas')));
  const fine = all[0].width / all[0].clientWidth;
  const style = getComputedStyle(document.documentElement);
  const [margin, letters] = [24 * fine, 14 * fine];
  const line = 1.5 * letters;
  const sheet = make('canvas');
  const pen = sheet.getContext('2d');
  if (!pen) return null;
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
  const top = margin + (words.length + rows.length) * line;
  sheet.width = Math.max(...all.map((c) => c.width), ...words.map((text) => pen.measureText(text).width * 1.1)) + 2 * margin;
  sheet.height = all.reduce((sum, c) => sum + c.height + 2 * letters, top + margin);
  pen.fillStyle = style.getPropertyValue('--paper');
  pen.fillRect(0, 0, sheet.width, sheet.height);
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
  for (const [i, canvas] of all.entries()) {
    pen.fillStyle = ink;
    pen.font = font(true);
    pen.fillText(figures[i].querySelector('.title')?.textContent ?? 'Plan view', margin, y + letters);
    pen.drawImage(canvas, margin, y + line);
    if (charts.includes(figures[i])) {
      // The last chart has the axis' figures below it, which no line may strike.
      const below = figures[i] === charts.at(-1) ? AXIS_PX * fine : 0;
      pen.strokeStyle = soft;
      pen.lineWidth = fine;
      for (const { x, estimated } of marks) {
        pen.setLineDash(estimated ? [4 * fine, 3 * fine] : []);
        pen.beginPath();
        pen.moveTo(x, y + line);
        pen.lineTo(x, y + line + canvas.height - below);
        pen.stroke();
      }
    }
    y += canvas.height + 2 * letters;
  }
  return sheet;
}
