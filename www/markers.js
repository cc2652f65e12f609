// Event markers: seen, dragged, moved by keys; estimated ones drawn and written as estimated.

import { plot, toPx, toSeconds } from './axis.js';
import { at, fixed, follow, handOn, make, write } from './dom.js';
import { changed, keepInSight, onChange, selected, shown, state } from './state.js';
import { give } from './work.js';

/** @typedef {import('./state.js').SwingEvent} SwingEvent */

const ROW_REM = 1.625;
const SOURCES = /** @type {Record<string, string>} */ ({ file: 'from the file', film: 'from film', mean: 'mean of the swings' });
const steady = (/** @type {number} */ t) => Math.round(t * 10_000) / 10_000;

/** Where the hand has it, else where the analysis has it. @param {SwingEvent} event */
const timeOf = (event) => (movable() ? (selected()?.given[event.id] ?? event.t_s) : event.t_s);

const movable = () => state.show === 'recording';

/** @param {string} id */
const find = (id) => shown()?.bench.events.find((e) => e.id === id);

/** The recording's first and last instant. */
function ends() {
  const now = shown();
  const x = now?.columns[now.bench.x];
  return x ? [x[0], x[x.length - 1]] : [0, 0];
}

/** @param {string} id @param {number} seconds @param {number[]} within the instants it may be put at */
function place(id, seconds, [from, to] = ends()) {
  const t = steady(Math.min(Math.max(seconds, from), to));
  state.cursor = t;
  give(id, t);
}

/** @param {KeyboardEvent} event @param {string} id */
function key(event, id) {
  const marker = find(id);
  if (!marker || !movable()) return;
  const step = event.shiftKey ? 0.01 : 0.001;
  const [from, to] = ends();
  /** @type {Record<string, number>} */
  const targets = {
    ArrowRight: timeOf(marker) + step,
    ArrowUp: timeOf(marker) + step,
    ArrowLeft: timeOf(marker) - step,
    ArrowDown: timeOf(marker) - step,
    PageUp: timeOf(marker) + 0.1,
    PageDown: timeOf(marker) - 0.1,
    Home: from,
    End: to,
  };
  if (event.key === 'Delete' || event.key === 'Backspace') give(id, null);
  else if (event.key in targets) {
    place(id, targets[event.key]);
    // The axis follows a marker that a key moves off it.
    keepInSight(selected()?.given[id] ?? timeOf(marker));
  } else return;
  event.preventDefault();
}

/** A press that moves less than this along the time axis, pixels, moves nothing: a finger rolls more than a mouse. @param {PointerEvent} down */
const slackOf = (down) => (down.pointerType === 'touch' ? 8 : 3);

/** The drag that goes on. @type {{of: import('./state.js').Recording, end: () => void} | null} */
let held = null;

/** @param {PointerEvent} down @param {HTMLElement} handle @param {string} id */
function drag(down, handle, id) {
  const marker = find(id);
  const of = selected();
  if (!marker || !of || !movable() || down.button !== 0) return;
  down.preventDefault();
  held?.end();
  handle.focus({ preventScroll: true });
  handle.setPointerCapture(down.pointerId);
  const start = timeOf(marker) - toSeconds(down.clientX);
  const was = { t_s: of.given[id] ?? null, film: of.filmed[id], cursor: state.cursor };
  let moved = false;
  const move = (/** @type {PointerEvent} */ event) => {
    moved ||= Math.abs(event.clientX - down.clientX) > slackOf(down);
    // A hand cannot drag it off the axis.
    if (moved && held?.of === selected()) place(id, start + toSeconds(event.clientX), state.window ?? ends());
  };
  const end = () => {
    held = null;
    handle.removeEventListener('pointermove', move);
    handle.removeEventListener('pointerup', end);
    handle.removeEventListener('pointercancel', cancel);
  };
  // The browser took the gesture for its own: it scrolls.
  const cancel = () => {
    end();
    if (!moved || selected() !== of) return;
    state.cursor = was.cursor;
    give(id, was.t_s, was.film);
  };
  held = { of, end };
  handle.addEventListener('pointermove', move);
  handle.addEventListener('pointerup', end);
  handle.addEventListener('pointercancel', cancel);
}

/** @param {SwingEvent} event */
function create(event) {
  const handle = make('button', { type: 'button', class: 'handle', role: 'slider', 'aria-orientation': 'horizontal' });
  handle.addEventListener('keydown', (e) => key(e, event.id));
  handle.addEventListener('pointerdown', (e) => drag(e, handle, event.id));
  return make('div', { class: 'marker' }, make('div', { class: 'doubt' }), make('div', { class: 'stem' }), handle);
}

/** @param {HTMLElement} element @param {SwingEvent} event */
function update(element, event) {
  const t = timeOf(event);
  const hand = movable() && event.id in (selected()?.given ?? {});
  const filmed = hand ? selected()?.filmed[event.id] : undefined;
  const source = filmed ? 'film' : hand ? 'given' : event.source;
  // A time is kept to a tenth of a millisecond, and may so lie that far beyond the axis' end.
  const inside = state.window !== null && t >= state.window[0] - 1e-4 && t <= state.window[1] + 1e-4;
  element.hidden = !inside;
  element.dataset.source = source;
  element.dataset.event = event.id;
  element.style.left = `${toPx(t)}px`;
  const handle = /** @type {HTMLElement} */ (element.querySelector('.handle'));
  write(handle, source === 'estimated' ? `${event.label} (est.)` : event.label);
  const [from, to] = ends();
  handle.setAttribute('aria-label', event.label);
  handle.setAttribute('aria-valuemin', from.toFixed(3));
  handle.setAttribute('aria-valuemax', to.toFixed(3));
  handle.setAttribute('aria-valuenow', t.toFixed(3));
  const sure = filmed?.uncertainty_s ?? event.uncertainty_s;
  const doubt = source === 'given' ? 0 : sure;
  const words = source === 'given' ? 'by hand' : `${SOURCES[source] ?? source}${sure > 0 ? `, give or take ${fixed(sure * 1000, 0)} milliseconds` : ''}`;
  handle.setAttribute('aria-valuetext', `${fixed(t, 3)} seconds, ${words}`);
  handle.setAttribute('aria-disabled', String(!movable()));
  handle.title = event.how;
  const band = /** @type {HTMLElement} */ (element.querySelector('.doubt'));
  const half = Math.max(toPx(t + doubt) - toPx(t), 0);
  const left = Math.max(-half, plot.left - toPx(t));
  band.style.left = `${left}px`;
  band.style.width = `${Math.max(Math.min(half, plot.right - toPx(t)) - left, 0)}px`;
}

/** Labels side by side where they fit, one row down where they would overlap. @param {HTMLElement} rail */
function spread(rail) {
  const rows = /** @type {number[]} */ ([]);
  const rowPx = ROW_REM * parseFloat(getComputedStyle(document.documentElement).fontSize);
  const all = /** @type {HTMLElement[]} */ ([...rail.children]).filter((m) => !m.hidden);
  all.sort((a, b) => parseFloat(a.style.left) - parseFloat(b.style.left));
  for (const marker of all) {
    const handle = /** @type {HTMLElement} */ (marker.querySelector('.handle'));
    const half = handle.offsetWidth / 2;
    const x = parseFloat(marker.style.left);
    // Kept on the sheet: the name of an event near the edge leans inward.
    const lean = Math.min(Math.max(x, half), Math.max(rail.clientWidth - half, half)) - x;
    handle.style.setProperty('--lean', `${lean}px`);
    let row = rows.findIndex((end) => end <= x + lean - half);
    if (row < 0) row = rows.length;
    rows[row] = x + lean + half + 6;
    handle.style.top = `${row * rowPx}px`;
    marker.style.setProperty('--row', String(row));
  }
  const height = Math.max(rows.length, 1) * rowPx + 4;
  rail.style.height = `${height}px`;
  const stack = at('stack', HTMLDivElement);
  const charts = at('charts', HTMLDivElement);
  stack.style.setProperty('--rail', `${height}px`);
  stack.style.setProperty('--stack', `${height + charts.offsetHeight}px`);
}

/** The same events as a list, with what can be done to them. @param {HTMLElement} place */
function list(place) {
  const bench = shown()?.bench;
  if (!bench) return place.replaceChildren();
  const given = selected()?.given ?? {};
  const rows = [
    ...bench.events.map((e) => ({ id: e.id, text: e.text, how: e.how, button: movable() && e.id in given ? 'undo' : '' })),
    ...(movable() ? bench.placeable : []).map((p) => ({
      id: p.id,
      text: `${p.label}, not known`,
      how: p.reason,
      button: 'place at the cursor',
    })),
  ];
  const listed = /** @type {HTMLElement} */ (place.querySelector('ul') ?? make('ul', {}));
  if (!listed.isConnected) place.replaceChildren(make('h3', {}, 'Events'), listed);
  follow(
    listed,
    rows,
    (r) => `${r.id} ${r.button}`,
    (r) => {
      const act = r.button === 'undo' ? () => give(r.id, null) : () => give(r.id, steady(state.cursor ?? 0));
      const button = r.button
        ? [make('button', { type: 'button', class: 'quiet', onclick: act, 'aria-label': `${r.button}: ${find(r.id)?.label ?? r.text}` }, r.button)]
        : [];
      return make('li', {}, make('span', { class: 'what' }), ...button, make('span', { class: 'how' }));
    },
    (element, r) => {
      write(/** @type {Element} */ (element.querySelector('.what')), r.text);
      write(/** @type {Element} */ (element.querySelector('.how')), r.how);
    },
    (name) => {
      // What was taken back can be placed, and what was placed taken back; else it is its marker's.
      const [id] = name.split(' ');
      const had = make('button', { class: 'quiet' });
      return handOn([...listed.querySelectorAll(`[data-key^="${id} "]`), ...document.querySelectorAll(`.marker[data-event="${id}"]`)], had);
    },
  );
}

/** A marker that was taken away, or off the axis, hands the focus to the line that places it again, else to its neighbour. @param {string} id */
const toLine = (id) => handOn([...document.querySelectorAll(`#events [data-key^="${id} "]`)], make('button', { class: 'quiet' }));

export function mountMarkers() {
  const rail = at('marker-rail', HTMLDivElement);
  const events = at('events', HTMLDivElement);
  onChange(() => {
    // A drag is of the recording that it began on, and ends when another comes.
    if (held && (held.of !== selected() || !movable())) held.end();
    const now = shown();
    if (!now) return;
    // Momentum reversal that also stands in for the top would lie exactly under it.
    const top = now.bench.events.find((e) => e.id === 'top');
    const seen = now.bench.events.filter((e) => e.id !== 'transition' || !top || Math.abs(e.t_s - top.t_s) > 0.0005);
    list(events);
    const had = document.activeElement;
    follow(rail, seen, (e) => e.id, create, update, toLine);
    const gone = rail.contains(had) && had?.closest('.marker[hidden]');
    if (gone && !toLine(/** @type {HTMLElement} */ (gone).dataset.event ?? '')) handOn([rail, at('cursor', HTMLDivElement).parentElement ?? rail], /** @type {Element} */ (had));
    spread(rail);
  });
  window.addEventListener('resize', changed);
}
