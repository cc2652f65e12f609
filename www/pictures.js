// The pictures of a comparison: the turning force of A and of B to one scale, the feet, the line between them.

import { glued, make, write } from './dom.js';
import { draw_chart as drawChart, draw_chart_beside as drawBeside, draw_plan as drawPlan } from './pkg/footing_web.js';
import { palette, sheet } from './theme.js';

/** @typedef {import('./state.js').Comparison} Comparison */
/** @typedef {import('./state.js').Chart} Chart */

/** @param {string} id */
function frame(id) {
  const canvas = make('canvas', { role: 'img', 'aria-labelledby': `${id}-title`, 'aria-describedby': `${id}-say` });
  const below = make('div', { class: 'instants', 'aria-hidden': 'true' });
  const say = make('p', { id: `${id}-say`, class: 'sentence-small' });
  const figure = make('figure', { class: `picture picture-${id}` }, make('figcaption', { id: `${id}-title` }), canvas, below, say);
  return { figure, canvas, below, say, title: /** @type {HTMLElement} */ (figure.firstElementChild) };
}

/** Longer labels would leave no room for the curve that they stand behind. */
const SHORT = 10;

/** The labels of both sets where they can stand in a picture in place of A and B. @param {Comparison} now */
function namesOf(now) {
  const [a, b] = now.said.sets.map(({ label }) => label);
  return a !== b && Math.max(a.length, b.length) <= SHORT ? { A: a, B: b } : null;
}

/** @param {string} label @param {ReturnType<typeof namesOf>} named */
const byName = (label, named) => (named ? label.replace(/\b[AB]$/, (set) => named[/** @type {'A' | 'B'} */ (set)]) : label);

/** @param {Chart} chart @param {ReturnType<typeof namesOf>} named @returns {Chart} */
const renamed = (chart, named) => ({ ...chart, lines: chart.lines.map((line) => ({ ...line, label: byName(line.label, named) })) });

/** Where a curve differs, by the test that leads and by the one beside it. @param {import('./state.js').Difference} d */
export function inWords(d) {
  const { beside } = /** @type {{beside: string | null}} */ (/** @type {unknown} */ (d));
  return make('li', {}, make('strong', {}, d.label), glued(` ${d.sentence}`), ...(beside === null ? [] : [make('span', { class: 'beside' }, glued(`. ${beside}`))]));
}

/** @param {Chart} chart */
function asTable(chart) {
  const head = make('tr', {}, ...chart.readings.head.map((text) => make('th', { scope: 'col' }, text)));
  const rows = chart.readings.rows.map((row) => make('tr', {}, ...row.map((text) => make('td', {}, text))));
  return make('table', {}, make('thead', {}, head), make('tbody', {}, ...rows));
}

/**
 * Pictures that follow a comparison: give them the place for the first view and the place for a closer look.
 * @param {HTMLElement} first @param {HTMLElement} closer
 */
export function pictures(first, closer) {
  const [a, b, feet, angle] = ['seen-a', 'seen-b', 'seen-feet', 'seen-angle'].map(frame);
  // The first view has words of its own; what a picture shows exactly is read out, and told below.
  feet.say.className = 'unseen';
  const key = make('p', { class: 'picture-key' }, 'Hatched: the ground turns the player away from the target. Filled: it turns the player back toward it.');
  const marks = make('p', { class: 'picture-key' }, 'Marks: where the pressure under each foot is at the top of the swing. The lines from them: its way from takeaway to impact.');
  feet.figure.append(marks);
  first.append(make('div', { class: 'torques' }, a.figure, b.figure, key), feet.figure);
  const shows = make('div', { class: 'shows' });
  const where = make('ul', { class: 'where', 'aria-label': 'Where in the swing A and B differ' });
  const tables = [0, 1].map(() => make('details', { class: 'behind' }, make('summary', {}), make('div', { class: 'scroll' })));
  closer.append(shows, angle.figure, where, ...tables);
  let last = /** @type {Comparison | null} */ (null);

  /** @param {ReturnType<typeof frame>} place @param {Chart} chart @param {Comparison} now @param {Chart | null} beside @param {string} title */
  const one = (place, chart, now, beside, title) => {
    const { compared, columns } = now;
    write(place.title, chart.unit === '' ? title : `${title}, ${chart.unit}`);
    write(place.say, chart.sentence);
    // What is absent says why where its picture would be.
    if (place !== angle) place.say.className = chart.absent === null ? 'unseen' : 'sentence-small';
    place.canvas.hidden = chart.absent !== null;
    const { width, height, fine, by } = sheet(place.canvas);
    if (width < 60 || chart.absent !== null) return;
    const [from, to] = compared.span_s;
    const drawn = beside
      ? drawBeside(place.canvas, chart, beside, columns, compared.x, from, to, palette(), width, height, fine)
      : drawChart(place.canvas, chart, columns, compared.x, from, to, true, palette(), width, height, fine);
    const px = (/** @type {number} */ s) => (drawn[0] + ((s - from) / (to - from)) * (drawn[1] - drawn[0])) * by;
    // The instants in words under the axis, those of this set where the picture is of one.
    const set = chart.lines.length === 1 ? chart.lines[0].set : null;
    const words = compared.events.filter(([text]) => set === null || !/ [AB]$/.test(text) || text.endsWith(` ${set}`));
    place.below.replaceChildren(
      ...words.map(([text, seconds], i) => {
        const word = make('span', { class: i === 0 ? 'first' : i === words.length - 1 ? 'last' : '' }, set ? text.replace(/ [AB]$/, '') : text);
        word.style.left = `${px(seconds)}px`;
        return word;
      }),
    );
  };

  const draw = () => {
    const now = last;
    if (!now) return;
    const { compared, columns } = now;
    const named = namesOf(now);
    const [inA, inB] = compared.torque.map((chart) => renamed(chart, named));
    const [first, second] = now.said.sets.map(({ label }, i) => `Turning force ${named ? '' : `of ${'AB'[i]}, `}“${label}”`);
    one(a, inA, now, inB, first);
    one(b, inB, now, inA, second);
    one(angle, renamed(compared.angle, named), now, null, compared.angle.title);
    // Instants of both sets would write over each other here.
    angle.below.replaceChildren();
    write(feet.title, 'The feet from above');
    write(feet.say, `${compared.plan.sentence}. ${compared.angle.absent === null ? compared.angle.sentence : ''}`.trim());
    const { width, height, fine } = sheet(feet.canvas);
    if (width < 60) return;
    const nodes = columns[compared.nodes];
    const plan = { ...compared.plan, paths: compared.plan.paths.map((path) => ({ ...path, label: byName(path.label, named) })) };
    drawPlan(feet.canvas, plan, columns, compared.nodes, nodes[0], nodes[nodes.length - 1], compared.top_node ?? undefined, palette(), width, height, fine);
  };

  const resize = new ResizeObserver(draw);
  for (const { canvas } of [a, b, feet, angle]) resize.observe(canvas);
  window.addEventListener('beforeprint', draw);
  window.addEventListener('afterprint', draw);

  return (/** @type {Comparison} */ now) => {
    if (last !== now) {
      last = now;
      shows.replaceChildren(
        ...[...now.compared.torque, now.compared.plan].map(({ sentence }) => make('p', { class: 'aside' }, `${sentence}.`)),
      );
      where.replaceChildren(
        ...now.compared.differences.map(inWords),
        ...(now.compared.tested ? [make('li', {}, now.compared.tested)] : []),
      );
      for (const [i, chart] of [now.compared.torque[0], now.compared.angle].entries()) {
        tables[i].hidden = chart.readings.rows.length === 0;
        write(/** @type {Element} */ (tables[i].firstElementChild), `${i === 0 ? 'Turning force' : 'Line between the feet'} as a table`);
        /** @type {Element} */ (tables[i].lastElementChild).replaceChildren(asTable(chart));
      }
    }
    draw();
  };
}
