// The Bench: stacked charts over one time axis, the feet from above, their tables.

import { plot, sampleNow } from './axis.js';
import { cautionLine, ofBench, updateCautions } from './careful.js';
import { at, fixed, follow, glued, make, write } from './dom.js';
import { draw_chart as drawChart, draw_plan as drawPlan } from './pkg/footing_web.js';
import { changed, fitWindow, hasSets, isFitted, onChange, shown, state } from './state.js';
import { palette, sheet } from './theme.js';
import { show } from './work.js';

/** @typedef {import('./state.js').Chart} Chart */
/** @typedef {import('./state.js').Shown} Shown */

/** What each canvas shows, so that nothing is drawn twice. */
const drawn = /** @type {WeakMap<HTMLCanvasElement, unknown[]>} */ (new WeakMap());

/** @param {HTMLCanvasElement} canvas @param {unknown[]} what */
function isNew(canvas, what) {
  const before = drawn.get(canvas);
  drawn.set(canvas, what);
  return !before || before.length !== what.length || before.some((value, i) => value !== what[i]);
}

/** Whether the Bench shows A and B. */
const showsSets = () => state.sets !== null && shown() === state.sets;

/** @param {Chart} chart */
function create(chart) {
  const canvas = make('canvas', { role: 'img', 'aria-labelledby': `title-${chart.id}`, 'aria-describedby': `careful-${chart.id} say-${chart.id}`, 'aria-details': `behind-${chart.id}` });
  const details = make('details', { id: `behind-${chart.id}`, class: 'behind' }, make('summary', {}), make('div', { class: 'scroll' }));
  details.addEventListener('toggle', changed);
  return make(
    'figure',
    { class: `chart chart-${chart.id}` },
    make('figcaption', {}, make('span', { id: `title-${chart.id}`, class: 'title' }), make('span', { class: 'ways' }), make('span', { class: 'values', 'aria-hidden': 'true' })),
    cautionLine(`careful-${chart.id}`),
    canvas,
    make('p', { id: `say-${chart.id}`, class: 'sentence-small' }),
    details,
  );
}

/** @param {HTMLElement} figure @param {Chart} chart */
function updateText(figure, chart) {
  const about = chart.id === 'torque' ? `, ${shown()?.bench.about ?? ''}` : '';
  write(/** @type {Element} */ (figure.querySelector('.title')), `${chart.title}, ${chart.unit}${about}`);
  const ways = [chart.up && `\u2191 ${chart.up}`, chart.down && `\u2193 ${chart.down}`].filter((w) => w !== '').map((w) => w.replaceAll(' ', '\u00a0'));
  write(/** @type {Element} */ (figure.querySelector('.ways')), chart.absent === null ? ways.join('  ') : '');
  write(/** @type {Element} */ (figure.querySelector('.sentence-small')), glued(chart.sentence));
  updateCautions(/** @type {Element} */ (figure.querySelector('.careful')), ofBench(chart.id, showsSets()));
  const details = /** @type {HTMLDetailsElement} */ (figure.querySelector('.behind'));
  details.hidden = chart.readings.rows.length === 0;
  write(/** @type {Element} */ (details.querySelector('summary')), `${chart.title} as a table`);
  if (details.open) table(/** @type {HTMLElement} */ (details.querySelector('div')), chart);
}

const tabled = /** @type {WeakMap<HTMLElement, Chart>} */ (new WeakMap());

/** @param {HTMLElement} place @param {Chart} chart */
function table(place, chart) {
  if (tabled.get(place) === chart) return;
  tabled.set(place, chart);
  const head = make('tr', {}, ...chart.readings.head.map((text) => make('th', { scope: 'col' }, text)));
  const rows = chart.readings.rows.map((row) => make('tr', {}, ...row.map((text) => make('td', {}, text))));
  place.tabIndex = 0;
  place.setAttribute('role', 'region');
  place.setAttribute('aria-label', `${chart.title}, table`);
  place.replaceChildren(make('table', {}, make('thead', {}, head), make('tbody', {}, ...rows)));
}

/** @param {HTMLElement} figure @param {Chart} chart @param {Shown} now @param {boolean} last */
function draw(figure, chart, now, last) {
  const canvas = /** @type {HTMLCanvasElement} */ (figure.querySelector('canvas'));
  // What is absent says why in its sentence; an empty picture would say nothing.
  canvas.hidden = chart.absent !== null;
  const { width, height, fine, by } = sheet(canvas);
  const [from, to] = state.window ?? [0, 1];
  if (width < 120 || !isNew(canvas, [chart, from, to, palette(), width, height, fine])) return;
  // What up and down mean stands over the chart: lines of events run through whatever is written in it.
  const frame = drawChart(canvas, { ...chart, up: '', down: '' }, now.columns, now.bench.x, from, to, last, palette(), width, height, fine);
  [plot.left, plot.right] = [frame[0] * by, frame[1] * by];
  canvas.dataset.frame = frame.join(' ');
}

/** The chart that the time axis stands under. @param {Shown} now */
const lastOf = (now) => now.bench.charts.findLast((c) => c.absent === null);

/** @param {Shown} now */
function plan(now) {
  const canvas = at('plan', HTMLCanvasElement);
  const { width, height, fine } = sheet(canvas);
  const [from, to] = state.window ?? [0, 1];
  const sample = sampleNow() ?? undefined;
  write(at('plan-sentence', HTMLParagraphElement), glued(now.bench.plan.sentence));
  if (width < 60 || !isNew(canvas, [now.bench.plan, from, to, sample, palette(), width, height, fine])) return;
  drawPlan(canvas, now.bench.plan, now.columns, now.bench.x, from, to, sample, palette(), width, height, fine);
}

/** Draws what a figure shows on another canvas, in the page's own pixels. @param {Element} figure @param {HTMLCanvasElement} canvas */
export function redraw(figure, canvas) {
  const now = shown();
  const own = figure.querySelector('canvas');
  if (!now || !own) return;
  const { width, height, by } = sheet(own);
  const [from, to] = state.window ?? [0, 1];
  const chart = now.bench.charts.find((c) => figure.classList.contains(`chart-${c.id}`));
  if (!chart) drawPlan(canvas, now.bench.plan, now.columns, now.bench.x, from, to, sampleNow() ?? undefined, palette(), width, height, by);
  else drawChart(canvas, { ...chart, up: '', down: '' }, now.columns, now.bench.x, from, to, chart === lastOf(now), palette(), width, height, by);
}

/** The value of each line under the cursor. @param {Shown} now */
export function readings(now) {
  const i = sampleNow();
  return now.bench.charts.map((chart) => ({
    chart,
    values: chart.lines.map((line) => {
      const value = i === null ? NaN : now.columns[line.y][i];
      const unit = chart.unit === '°' ? '°' : ` ${chart.unit}`;
      return { line, text: Number.isNaN(value) ? 'none' : fixed(value, chart.decimals) + unit };
    }),
  }));
}

/** @param {HTMLElement} charts @param {Shown} now */
function values(charts, now) {
  const all = readings(now);
  for (const [i, { values: some }] of all.entries()) {
    const place = charts.children[i]?.querySelector('.values');
    place?.replaceChildren(
      ...some.map(({ line, text }) => make('span', { class: `value ${line.set ? `set-${line.set}` : (line.foot ?? '')}` }, `${line.label} ${text}`)),
    );
  }
  const angles = all.find((r) => r.chart.id === 'angle')?.values ?? [];
  write(at('plan-angle', HTMLSpanElement), angles.map(({ line, text }) => `${line.label} ${text}`).join(', '));
}

function render() {
  const bench = at('bench', HTMLElement);
  const now = shown();
  bench.hidden = !now;
  bench.dataset.show = now && now === state.sets ? 'sets' : 'recording';
  if (!now) return;
  if (!isFitted()) fitWindow();
  const sets = state.show === 'sets' && now === state.sets;
  at('show-recording', HTMLButtonElement).setAttribute('aria-pressed', String(!sets));
  const showSets = at('show-sets', HTMLButtonElement);
  showSets.setAttribute('aria-pressed', String(sets));
  showSets.disabled = !hasSets();
  at('range-swing', HTMLButtonElement).setAttribute('aria-pressed', String(state.range === 'swing'));
  at('range-whole', HTMLButtonElement).setAttribute('aria-pressed', String(state.range === 'whole'));
  write(at('axis-title', HTMLParagraphElement), now.bench.x_title);
  const charts = at('charts', HTMLDivElement);
  const last = lastOf(now);
  follow(charts, now.bench.charts, (c) => c.id, create, updateText);
  for (const [i, chart] of now.bench.charts.entries()) {
    draw(/** @type {HTMLElement} */ (charts.children[i]), chart, now, chart === last);
  }
  plan(now);
  values(charts, now);
  updateCautions(at('careful-plan', HTMLDetailsElement), ofBench('plan', sets));
  updateCautions(at('careful-bench', HTMLDetailsElement), ofBench('', sets));
}

export function mountBench() {
  at('recording-sentence', HTMLParagraphElement).after(cautionLine('careful-bench'));
  at('plan', HTMLCanvasElement).before(cautionLine('careful-plan'));
  at('show-recording', HTMLButtonElement).addEventListener('click', () => void show('recording'));
  at('show-sets', HTMLButtonElement).addEventListener('click', () => void show('sets'));
  for (const range of /** @type {const} */ (['swing', 'whole'])) {
    at(`range-${range}`, HTMLButtonElement).addEventListener('click', () => {
      state.range = range;
      fitWindow();
      changed();
    });
  }
  onChange(render);
  new ResizeObserver(changed).observe(at('charts', HTMLDivElement));
  new ResizeObserver(changed).observe(at('plan', HTMLCanvasElement));
}
