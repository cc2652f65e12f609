// Wiring: columns of a table to channels of plates, with what they come to beside them.

import { make, write } from './dom.js';
import { ask, Ended } from './engine.js';
import { isRemembered, learn, lookOver } from './layouts.js';
import { saveText } from './save.js';
import { changed, state } from './state.js';
import { draw } from './svg.js';
import { readAll } from './work.js';

/** @typedef {import('./state.js').Recording} Recording */
/** @typedef {{numbers: [string, string][], plates: {label: string, foot: string, outline_m: [number, number][] | null}[],
 *   dots: {foot: string, at_m: [number, number][]}[], target_on_left: boolean, sentence: string, notes: [string, string][]}} Tried */

const CHANNELS = /** @type {Record<string, string[]>} */ ({
  'six-component': ['fx', 'fy', 'fz', 'mx', 'my', 'mz'],
  'force-cop': ['fx', 'fy', 'fz', 'cop_x', 'cop_y', 'tz'],
  'eight-channel': ['fx12', 'fx34', 'fy14', 'fy23', 'fz1', 'fz2', 'fz3', 'fz4'],
  'vertical-cop': ['fz', 'cop_x', 'cop_y'],
});
const UNITS = { force: ['N', 'kN', 'lbf', 'kgf'], moment: ['N.m', 'N.mm', 'lbf.ft'], length: ['m', 'cm', 'mm', 'in'], time: ['s', 'ms'] };
const REST_MS = 150;

const blank = () => ({
  format: 'footing-rig/1',
  target_azimuth_deg: 0,
  force_sense: 'auto',
  units: { force: 'N', moment: 'N.m', length: 'm', time: 's' },
  time: { rate_hz: 1000 },
  plates: [plate('lead', 0.25), plate('trail', -0.25)],
});

/** @param {string} foot @param {number} x */
const plate = (foot, x) => ({ foot, kind: 'six-component', columns: {}, x_azimuth_deg: 0, z_axis: 'up', centre_m: [x, 0, 0], moment_point_m: [0, 0, 0], size_m: [0.4, 0.6] });

/** @param {number} confidence */
const sure = (confidence) => (confidence >= 0.9 ? 'sure' : confidence >= 0.6 ? 'likely' : confidence > 0.3 ? 'doubtful' : 'a placeholder');

const dialog = make('dialog', { class: 'wiring', id: 'wiring', 'aria-labelledby': 'wiring-title' });
let turn = 0;

/** A labelled choice. @param {string} label @param {[string, string][]} options @param {string} value @param {(value: string) => void} act */
function choice(label, options, value, act) {
  const select = make('select', { onchange: () => act(select.value) }, ...options.map(([v, text]) => make('option', { value: v }, text)));
  select.value = value;
  return make('label', {}, label, select);
}

/** A labelled number. @param {string} label @param {number} value @param {(value: number) => void} act */
function amount(label, value, act) {
  const input = make('input', { type: 'number', step: 'any', value: String(value ?? 0), oninput: () => {
    if (input.value !== '' && Number.isFinite(input.valueAsNumber)) act(input.valueAsNumber);
  } });
  return make('label', {}, label, input);
}

/** @param {string} title @param {...Node} slots */
const group = (title, ...slots) => make('fieldset', {}, make('legend', {}, title), make('div', { class: 'slots' }, ...slots));

const same = (/** @type {string} */ text) => /** @type {[string, string]} */ ([text, text]);

/** A column as a small curve. @param {Float64Array} values */
function trace(values) {
  const known = [...values].filter(Number.isFinite);
  const [low, high] = [Math.min(...known), Math.max(...known)];
  const span = high - low || 1;
  let line = '';
  for (const [i, v] of values.entries()) {
    if (Number.isFinite(v)) line += `${line === '' ? 'M' : 'L'}${i} ${(20 - (18 * (v - low)) / span).toFixed(1)}`;
  }
  return draw('svg', { class: 'trace', viewBox: `0 0 ${Math.max(values.length - 1, 1)} 22`, preserveAspectRatio: 'none', 'aria-hidden': 'true' }, draw('path', { d: line }));
}

/** The feet from above. @param {Tried} tried */
function plan(tried) {
  const x = (/** @type {number} */ t) => (tried.target_on_left ? -t : t);
  const all = [...tried.plates.flatMap((p) => p.outline_m ?? []), ...tried.dots.flatMap((d) => d.at_m)];
  const reach = Math.max(0.3, ...all.flatMap(([t, a]) => [Math.abs(t), Math.abs(a)]).filter(Number.isFinite)) + 0.12;
  const parts = tried.plates.map(({ outline_m: corners }) =>
    draw('polygon', { class: 'plate', points: (corners ?? []).map(([t, a]) => `${x(t)},${-a}`).join(' ') }),
  );
  for (const { foot, at_m: dots } of tried.dots) {
    for (const [t, a] of dots) {
      const [cx, cy] = [x(t), -a];
      parts.push(foot === 'trail' ? draw('path', { class: foot, d: `M${cx} ${cy - 0.014}l.014 .014l-.014 .014l-.014 -.014z` }) : draw('circle', { class: foot, cx, cy, r: 0.01 }));
    }
  }
  const arrow = draw('text', { x: tried.target_on_left ? -reach + 0.02 : reach - 0.02, y: -reach + 0.07, 'text-anchor': tried.target_on_left ? 'start' : 'end' });
  arrow.textContent = tried.target_on_left ? '← target' : 'target →';
  return draw('svg', { class: 'wiring-plan', viewBox: `${-reach} ${-reach} ${2 * reach} ${2 * reach}`, role: 'img', 'aria-label': tried.sentence }, ...parts, arrow);
}

/** Opens the Wiring of a table. @param {Recording} recording */
export async function openWiring(recording) {
  let found;
  try {
    found = await lookOver(recording);
  } catch (error) {
    state.fault = error instanceof Error ? error.message : String(error);
    return changed();
  }
  const { bytes, table, proposal, problem } = found;
  const rig = /** @type {any} */ (JSON.parse(recording.wired?.text ?? proposal?.rig ?? JSON.stringify(blank())));
  const text = () => `${JSON.stringify(rig, null, 2)}\n`;
  const name = `${recording.name.replace(/\.[^.]*$/, '')}.rig.json`;
  const columns = /** @type {[string, string][]} */ (table.list.map((c, i) => [c.reference, `${i + 1}: ${c.header || 'no name'}${c.unit ? ` (${c.unit})` : ''}`]));
  const parts = make('div', {});
  const numbers = make('dl', { id: 'wiring-numbers' });
  const picture = make('div', {});
  const says = make('p', { class: 'sentence-small' });
  const wrong = make('p', { class: 'wiring-problem', id: 'wiring-problem', role: 'status' });
  const notes = make('ul', { class: 'notes' });
  const use = make('button', { type: 'button', id: 'wiring-use' }, 'Use this wiring');
  let timer = 0;

  const show = async () => {
    const mine = (turn += 1);
    try {
      const settings = { ...state.settings, given: {}, filmed: {} };
      const tried = /** @type {Tried} */ (await ask('tryWiring', { file: recording.name, bytes, rig: new TextEncoder().encode(text()), settings }));
      if (mine !== turn) return;
      numbers.replaceChildren(...tried.numbers.map(([what, value]) => make('div', {}, make('dt', {}, what), make('dd', {}, value))));
      picture.replaceChildren(plan(tried));
      notes.replaceChildren(...tried.notes.filter(([level]) => level !== 'note').map(([level, note]) => make('li', {}, make('strong', {}, level === 'stop' ? 'Stop' : 'Careful'), ` ${note}`)));
      write(says, tried.sentence);
      write(wrong, '');
      use.disabled = false;
    } catch (error) {
      if (mine !== turn) return;
      for (const place of [numbers, picture, notes]) place.replaceChildren();
      write(says, '');
      write(wrong, error instanceof Ended ? 'The reading was ended; change something to try again' : String(/** @type {any} */ (error).message ?? error));
      use.disabled = true;
    }
    wrong.hidden = wrong.textContent === '';
    dialog.removeAttribute('aria-busy');
  };
  const soon = () => {
    dialog.setAttribute('aria-busy', 'true');
    window.clearTimeout(timer);
    timer = window.setTimeout(() => void show(), REST_MS);
  };
  /** @param {any} at @param {string} key */
  const put = (at, key) => (/** @type {any} */ value) => {
    at[key] = value;
    soon();
  };
  const layOut = () => {
    const plates = rig.plates.map((/** @type {any} */ p, /** @type {number} */ i) => {
      const slots = CHANNELS[p.kind].map((channel) =>
        choice(channel, [['', 'not wired'], ...columns], p.columns[channel] ?? '', (value) => {
          if (value === '') delete p.columns[channel];
          else p.columns[channel] = value;
          soon();
        }),
      );
      const kind = choice('kind', Object.keys(CHANNELS).map(same), p.kind, (value) => {
        p.kind = value;
        p.columns = Object.fromEntries(Object.entries(p.columns).filter(([channel]) => CHANNELS[value].includes(channel)));
        if (value === 'eight-channel') p.sensor_offset_m ??= [0.12, 0.2];
        else delete p.sensor_offset_m;
        layOut();
        /** @type {HTMLElement | null} */ (parts.querySelector(`[data-plate="${i}"] select`))?.focus();
        soon();
      });
      p.centre_m ??= [0, 0, 0];
      p.size_m ??= [0.4, 0.6];
      const more = [];
      if (p.kind === 'six-component') {
        p.moment_point_m ??= [0, 0, 0];
        for (const [axis, k] of /** @type {const} */ ([['x', 0], ['y', 1], ['z', 2]])) more.push(amount(`moments about ${axis}, m`, p.moment_point_m[k], put(p.moment_point_m, String(k))));
      }
      if (p.sensor_offset_m) for (const k of [0, 1]) more.push(amount(`sensor offset ${'xy'[k]}, m`, p.sensor_offset_m[k], put(p.sensor_offset_m, String(k))));
      const box = group(
        `Plate ${i + 1}`,
        kind,
        choice('foot on it', ['lead', 'trail', 'both'].map(same), p.foot ?? 'both', put(p, 'foot')),
        ...slots,
        amount('centre x, m', p.centre_m[0], put(p.centre_m, '0')),
        amount('centre y, m', p.centre_m[1], put(p.centre_m, '1')),
        amount('its x points to, °', p.x_azimuth_deg ?? 0, put(p, 'x_azimuth_deg')),
        choice('its z points', ['up', 'down'].map(same), p.z_axis ?? 'up', put(p, 'z_axis')),
        amount('size along x, m', p.size_m[0], put(p.size_m, '0')),
        amount('size along y, m', p.size_m[1], put(p.size_m, '1')),
        ...more,
      );
      box.dataset.plate = String(i);
      return box;
    });
    const rate = amount('rate, Hz', rig.time?.rate_hz ?? 1000, (value) => put(rig, 'time')({ rate_hz: value }));
    rate.hidden = rig.time?.column !== undefined;
    const unit = (/** @type {keyof typeof UNITS} */ which) => choice(`unit of ${which}`, UNITS[which].map(same), rig.units[which] ?? UNITS[which][0], put(rig.units, which));
    parts.replaceChildren(
      group(
        'Bay and clock',
        choice('time', [['', 'by rate'], ...columns], rig.time?.column ?? '', (value) => {
          rate.hidden = value !== '';
          put(rig, 'time')(value === '' ? { rate_hz: rate.querySelector('input')?.valueAsNumber || 1000 } : { column: value });
        }),
        rate,
        amount('target lies at, °', rig.target_azimuth_deg ?? 0, put(rig, 'target_azimuth_deg')),
        choice('forces are those', [['auto', 'find out'], ['on-player', 'on the player'], ['on-plate', 'on the plate']], rig.force_sense ?? 'auto', put(rig, 'force_sense')),
        unit('force'), unit('moment'), unit('length'), unit('time'),
      ),
      ...plates,
    );
  };
  layOut();

  const keep = make('input', { type: 'checkbox', id: 'wiring-keep' });
  keep.checked = isRemembered(table.fingerprint);
  use.addEventListener('click', async () => {
    const wiring = { name, text: text() };
    learn(table.fingerprint, wiring, keep.checked);
    const others = state.recordings.filter((r) => r.status === 'waiting' && r !== recording);
    Object.assign(recording, { wired: wiring, said: 'Wired by hand', status: 'reading', held: false });
    // Those that wait are looked over again: the layout is known now.
    for (const other of others) other.status = 'reading';
    dialog.close();
    changed();
    await readAll();
  });
  const asked = proposal?.questions ?? [];
  const evidence = make('details', {}, make('summary', {}, 'Why it is proposed so'), make('dl', {}, ...(proposal?.choices ?? []).map((c) => make('div', {}, make('dt', {}, `${c.what}: ${sure(c.confidence)}`), make('dd', {}, `${c.value}. ${c.evidence.join('; ')}`)))));
  const cell = (/** @type {(Node | string)[]} */ ...inside) => make('td', {}, ...inside);
  const listed = table.list.map((c, i) =>
    make('tr', {}, make('th', { scope: 'row' }, columns[i][1]), cell(c.span ? `${Number(c.span[0].toPrecision(4))} to ${Number(c.span[1].toPrecision(4))}` : 'no numbers'), cell(trace(table.columns[i]))),
  );
  dialog.replaceChildren(
    make('div', { class: 'bar' }, make('h2', { id: 'wiring-title' }, `Wiring of ${recording.name}`), make('button', { type: 'button', class: 'quiet', id: 'wiring-close', onclick: () => dialog.close() }, 'Close')),
    make('p', { class: 'hint' }, `${table.width} columns of ${table.rows} rows, ${table.written}. ${problem}`),
    ...(asked.length > 0 ? [make('ul', { class: 'asked', 'aria-label': 'What is asked' }, ...asked.map((q) => make('li', {}, q.text)))] : []),
    make(
      'div',
      { class: 'wiring-columns' },
      make('div', {}, parts, evidence),
      make(
        'div',
        {},
        make('h3', {}, 'What it comes to'),
        wrong, numbers, picture, says, notes,
        make('div', { class: 'buttons' }, use, make('button', { type: 'button', id: 'wiring-save', onclick: () => saveText(text(), 'application/json', name) }, 'Save as a rig file')),
        make('label', { for: 'wiring-keep' }, keep, ' Remember this wiring in this browser'),
        make('h3', {}, 'Columns'),
        make('div', { class: 'heard', tabindex: '0', role: 'region', 'aria-label': 'Columns of the table' }, make('table', {}, make('thead', {}, make('tr', {}, ...['column', 'values', 'course'].map((t) => make('th', { scope: 'col' }, t)))), make('tbody', {}, ...listed))),
      ),
    ),
  );
  dialog.showModal();
  soon();
}

/** The line of a recording that opens its Wiring. @param {Recording} recording */
export const wireLine = (recording) =>
  make('div', { class: 'wire-line', hidden: true }, make('span', {}), ' ', make('button', { type: 'button', onclick: () => void openWiring(recording) }, 'Wire it…'));

/** @param {HTMLElement} line @param {Recording} recording */
export function updateWire(line, recording) {
  const waiting = recording.status === 'waiting';
  line.hidden = !waiting && !(recording.status === 'ready' && recording.wired);
  write(/** @type {Element} */ (line.firstElementChild), recording.said);
  const button = /** @type {Element} */ (line.lastElementChild);
  write(button, waiting ? 'Wire it…' : 'Wiring…');
  button.setAttribute('aria-label', `${waiting ? 'Wire it…' : 'Wiring…'} ${recording.name}`);
}

export function mountWiring() {
  document.body.append(dialog);
}
