// One cursor over all charts and the plan, by pointer and by keyboard.

import { nearest, plot, toPx, toSeconds } from './axis.js';
import { readings } from './bench.js';
import { at, fixed, write } from './dom.js';
import { changed, onChange, shown, state } from './state.js';

const SETTLED_MS = 350;

/** @param {number} seconds */
function move(seconds) {
  const now = shown();
  if (!now || !state.window) return;
  const x = now.columns[now.bench.x];
  const held = Math.min(Math.max(seconds, state.window[0]), state.window[1]);
  state.cursor = x[nearest(x, held)];
  changed();
}

/** Moves the cursor by keys; false when the key is not one of its own. @param {KeyboardEvent} event */
function key(event) {
  const now = shown();
  if (!now || !state.window || state.cursor === null) return false;
  const x = now.columns[now.bench.x];
  const step = Math.max(event.shiftKey ? 0.01 : 0.001, x[1] - x[0]);
  /** @type {Record<string, number>} */
  const targets = {
    ArrowRight: state.cursor + step,
    ArrowUp: state.cursor + step,
    ArrowLeft: state.cursor - step,
    ArrowDown: state.cursor - step,
    PageUp: state.cursor + 0.1,
    PageDown: state.cursor - 0.1,
    Home: state.window[0],
    End: state.window[1],
  };
  const target = targets[event.key];
  if (target === undefined) return false;
  move(target);
  return true;
}

/** Everything under the cursor in one line of text. */
function sentence() {
  const now = shown();
  if (!now || state.cursor === null) return '';
  const time = `${fixed(state.cursor, 3)} s`;
  const values = readings(now).flatMap(({ chart, values: some }) =>
    some.map(({ line, text }) => `${chart.lines.length > 1 ? `${chart.title.toLowerCase()} ` : ''}${line.label} ${text}`),
  );
  return [time, ...values].join(', ');
}

export function mountCursor() {
  const charts = at('charts', HTMLDivElement);
  const cursor = at('cursor', HTMLDivElement);
  const stem = at('cursor-stem', HTMLDivElement);
  const readout = at('readout', HTMLParagraphElement);
  let settle = 0;
  let said = '';

  /** @param {PointerEvent} event */
  const follow = (event) => {
    if (event.target instanceof HTMLCanvasElement) move(toSeconds(event.clientX - charts.getBoundingClientRect().left));
  };
  charts.addEventListener('pointermove', (event) => {
    if (event.pointerType === 'mouse' || event.buttons > 0) follow(event);
  });
  charts.addEventListener('pointerdown', (event) => {
    if (!(event.target instanceof HTMLCanvasElement)) return;
    follow(event);
    cursor.focus({ preventScroll: true });
    event.preventDefault();
  });
  cursor.addEventListener('pointerdown', (event) => {
    cursor.setPointerCapture(event.pointerId);
  });
  cursor.addEventListener('pointermove', (event) => {
    if (cursor.hasPointerCapture(event.pointerId)) move(toSeconds(event.clientX - charts.getBoundingClientRect().left));
  });
  cursor.addEventListener('keydown', (event) => {
    if (key(event)) event.preventDefault();
  });

  onChange(() => {
    if (state.cursor === null || !state.window) return;
    const px = Math.min(Math.max(toPx(state.cursor), plot.left), plot.right);
    cursor.style.left = `${px}px`;
    stem.style.left = `${px}px`;
    cursor.setAttribute('aria-valuemin', state.window[0].toFixed(3));
    cursor.setAttribute('aria-valuemax', state.window[1].toFixed(3));
    cursor.setAttribute('aria-valuenow', state.cursor.toFixed(3));
    cursor.setAttribute('aria-valuetext', `${fixed(state.cursor, 3)} seconds`);
    write(cursor, `${fixed(state.cursor, 3)} s`);
    // The numbers change under a cursor that rests, too: with a setting, an event, another recording.
    const now = sentence();
    if (said === now) return;
    said = now;
    // Spoken only once the cursor rests: a moving cursor must not flood a screen reader.
    window.clearTimeout(settle);
    settle = window.setTimeout(() => write(readout, said), SETTLED_MS);
  });
}
