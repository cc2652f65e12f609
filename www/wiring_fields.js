// The fields of the Wiring: everything that a rig file says, as choices, numbers and slots for columns.

import { make } from './dom.js';
import { addPlate, CHANNELS, MOST_PLATES, put } from './rig_draft.js';
import { draw } from './svg.js';

/** @typedef {import('./rig_draft.js').Rig} Rig */
/** @typedef {import('./rig_draft.js').Plate} Plate */
/** @typedef {import('./layouts.js').Table} Table */
/**
 * What the fields need of the Wiring: the rig, the table, and a way to say what was changed in words, in which field, whether
 * other fields change with it, and where the focus then goes.
 * @typedef {{rig: Rig, table: Table, done: (words: string, field: string, also?: {again?: boolean, focus?: string, say?: string}) => void}} Bay
 */

const UNITS = { force: ['N', 'kN', 'lbf', 'kgf'], moment: ['N.m', 'N.mm', 'N.cm', 'kN.m', 'lbf.ft', 'lbf.in'], length: ['m', 'cm', 'mm', 'in'], time: ['s', 'ms'] };
const EVENTS = ['address', 'takeaway', 'arm_level', 'top', 'transition', 'impact', 'finish'];
const OFFSET_M = [0.12, 0.2];

const same = (/** @type {string} */ text) => /** @type {[string, string]} */ ([text, text.replace('arm_level', 'lead arm level')]);

/** A column's name for a list. @param {Table} table @param {number} i */
export const nameOf = ({ list }, i) => `${i + 1}: ${list[i].header || 'no name'}${list[i].unit ? ` (${list[i].unit})` : ''}`;

/** A column as a small curve. @param {Float64Array | undefined} values */
export function trace(values = new Float64Array()) {
  const known = [...values].filter(Number.isFinite);
  const [low, high] = [Math.min(...known), Math.max(...known)];
  const span = high - low || 1;
  let line = '';
  for (const [i, v] of values.entries()) {
    if (Number.isFinite(v)) line += `${line === '' ? 'M' : 'L'}${i} ${(20 - (18 * (v - low)) / span).toFixed(1)}`;
  }
  return draw('svg', { class: 'trace', viewBox: `0 0 ${Math.max(values.length - 1, 1)} 22`, preserveAspectRatio: 'none', 'aria-hidden': 'true' }, draw('path', { d: line }));
}

/** A labelled choice. @param {string} label @param {string} field @param {[string, string][]} options @param {string} value @param {(value: string) => void} act */
function choice(label, field, options, value, act) {
  const select = make('select', { 'data-field': field, onchange: () => act(select.value) }, ...options.map(([v, text]) => make('option', { value: v }, text)));
  select.value = value;
  return make('label', {}, label, select);
}

/** A labelled number. @param {string} label @param {string} field @param {number | null | undefined} value @param {(value: number) => void} act @param {() => void} [without] what an empty field means */
function amount(label, field, value, act, without) {
  let shown = value === null || value === undefined ? '' : String(value);
  const input = make('input', { type: 'number', step: 'any', value: shown, 'data-field': field, oninput: () => {
    const empty = input.value === '' && !input.validity.badInput;
    if (!(empty && without) && !Number.isFinite(input.valueAsNumber)) return;
    shown = input.value;
    if (empty) without?.();
    else act(input.valueAsNumber);
  }, onchange: () => {
    // What is shown is what is meant: half a number is none.
    input.value = shown;
  } });
  return make('label', {}, label, input);
}

/** A slot that a column goes to, by its list or by hand. @param {Bay} bay @param {string} slot @param {string} label @param {[string, string][]} before options before the columns @param {string} words @param {() => void} [act] */
function slotFor({ rig, table, done }, slot, label, before, words, act) {
  const options = [...before, ...table.list.map((c, i) => /** @type {[string, string]} */ ([c.reference, nameOf(table, i)]))];
  const list = choice(label, slot, options, '', (column) => {
    put(rig, slot, column);
    act?.();
    done(words, slot);
  });
  return make('div', { class: 'slot', 'data-slot': slot }, list, make('div', { class: 'slot-trace' }));
}

/** @param {string} title @param {...Node[]} rows each begins a line */
const group = (title, ...rows) => make('fieldset', {}, make('legend', {}, title), ...rows.map((slots) => make('div', { class: 'slots' }, ...slots)));

/** @typedef {{name: string, id: string, take: () => void}} Given a rig whose places can be taken */

/** @param {Bay} bay @param {Given[]} given */
function room(bay, given) {
  const { rig, done } = bay;
  const name = make('input', { type: 'text', value: rig.name ?? '', 'data-field': 'name', autocomplete: 'off', oninput: () => {
    rig.name = name.value;
    done('the name of the rig', 'name');
  } });
  /** @param {keyof typeof UNITS} which */
  const unit = (which) => choice(`unit of ${which}`, `unit ${which}`, UNITS[which].map(same), rig.units[which], (value) => {
    rig.units[which] = value;
    done(`the unit of ${which}`, `unit ${which}`);
  });
  /** @type {HTMLElement} */
  const rate = amount('rate, Hz', 'rate', rig.time?.rate_hz ?? 1000, (value) => {
    rig.time = { rate_hz: value };
    done('the rate', 'rate');
  });
  rate.hidden = rig.time?.column !== undefined;
  const box = group(
    'Bay and clock',
    [make('label', {}, 'name of the rig', name),
    slotFor(bay, 'time', 'time', [['', 'by rate']], 'the clock', () => {
      rate.hidden = rig.time?.column !== undefined;
    }),
    rate,
    amount('target lies at, °', 'target', rig.target_azimuth_deg, (value) => {
      rig.target_azimuth_deg = value;
      done('the target direction', 'target');
    }, () => {
      delete rig.target_azimuth_deg;
      done('the target direction', 'target');
    }),
    choice('forces are those', 'sense', [['auto', 'find out'], ['on-player', 'on the player'], ['on-plate', 'on the plate']], rig.force_sense ?? 'auto', (value) => {
      rig.force_sense = value;
      done('on whom the forces act', 'sense');
    }),
    unit('force'), unit('moment'), unit('length'), unit('time')],
  );
  for (const { name, id, take } of given) box.append(make('button', { type: 'button', class: 'quiet', id, onclick: take }, `Take places and target from ${name}`));
  return box;
}

/** @param {Bay} bay @param {number} i */
function plateBox(bay, i) {
  const { rig, done } = bay;
  const p = rig.plates[i];
  const of = `plate ${i + 1}`;
  const at = (/** @type {string} */ what) => `plate ${i} ${what}`;
  /** A number of a plate's triple or pair. @param {string} label @param {'centre_m' | 'moment_point_m' | 'sensor_offset_m'} key @param {number} k @param {number[]} otherwise */
  const part = (label, key, k, otherwise) => amount(label, at(`${key} ${k}`), (p[key] ?? otherwise)[k], (value) => {
    (p[key] ??= [...otherwise])[k] = value;
    done(`${label.replace(/, m$/, '')} of ${of}`, at(`${key} ${k}`));
  });
  /** @param {string} label @param {number} k */
  const size = (label, k) => {
    /** @param {number | null} value */
    const set = (value) => {
      (p.size_m ??= [null, null])[k] = value;
      if (p.size_m.every((m) => m === null)) delete p.size_m;
      done(`the size of ${of}`, at(`size ${k}`));
    };
    const label_ = amount(label, at(`size ${k}`), p.size_m?.[k], set, () => set(null));
    /** @type {HTMLInputElement} */ (label_.querySelector('input')).placeholder = 'not known';
    return label_;
  };
  const kind = choice('kind', at('kind'), Object.keys(CHANNELS).map(same), p.kind, (value) => {
    p.kind = value;
    p.columns = Object.fromEntries(Object.entries(p.columns).filter(([channel]) => CHANNELS[value].includes(channel)));
    if (value === 'eight-channel') p.sensor_offset_m ??= [...OFFSET_M];
    else delete p.sensor_offset_m;
    done(`the kind of ${of}`, at('kind'), { again: true });
  });
  const foot = choice('foot on it', at('foot'), [['', 'not said'], ...['lead', 'trail', 'both'].map(same)], p.foot ?? '', (value) => {
    p.foot = value === '' ? undefined : value;
    done(`the foot on ${of}`, at('foot'));
  });
  const has = { moments: p.kind === 'six-component' || p.kind === 'eight-channel', sensors: p.kind === 'eight-channel' };
  const box = group(
    `Plate ${i + 1}`,
    [kind, foot],
    CHANNELS[p.kind].map((channel) => slotFor(bay, at(channel), channel, [['', 'not wired']], `${of}’s ${channel}`)),
    [...['x', 'y', 'z'].map((axis, k) => part(`centre ${axis}, m`, 'centre_m', k, [0, 0, 0])),
    amount('its x points to, °', at('azimuth'), p.x_azimuth_deg ?? 0, (value) => {
      p.x_azimuth_deg = value;
      done(`which way ${of} points`, at('azimuth'));
    }),
    choice('its z points', at('z'), ['up', 'down'].map(same), p.z_axis ?? 'up', (value) => {
      p.z_axis = value;
      done(`which way ${of}’s z points`, at('z'));
    }),
    size('size along x, m', 0),
    size('size along y, m', 1),
    ...(has.moments ? ['x', 'y', 'z'].map((axis, k) => part(`moments about ${axis}, m`, 'moment_point_m', k, [0, 0, 0])) : []),
    ...(has.sensors ? ['x', 'y'].map((axis, k) => part(`sensor offset ${axis}, m`, 'sensor_offset_m', k, OFFSET_M)) : [])],
  );
  box.dataset.plate = String(i);
  if (rig.plates.length > 1) {
    box.append(make('button', { type: 'button', class: 'quiet out', 'data-field': at('out'), onclick: () => {
      rig.plates.splice(i, 1);
      // To the plate that has taken its place, or the last one.
      const near = Math.min(i, rig.plates.length - 1);
      done(`removing ${of}`, at('out'), { again: true, focus: rig.plates.length > 1 ? `plate ${near} out` : `plate ${near} kind`, say: `Plate ${i + 1} is removed; ${rig.plates.length} left` });
    } }, `Remove plate ${i + 1}`));
  }
  return box;
}

/** The middle of what a column holds, so that a trigger crosses it. @param {Table} table @param {string} column */
function middle({ list }, column) {
  const [low, high] = list.find((c) => c.reference === column)?.span ?? [0, 0];
  return Number(((low + high) / 2).toPrecision(4));
}

/** @param {Bay} bay @param {number} i */
function markerBox(bay, i) {
  const { rig, table, done } = bay;
  const m = rig.markers[i];
  const of = `marker ${i + 1}`;
  const at = (/** @type {string} */ what) => `marker ${i} ${what}`;
  const box = group(
    `Marker ${i + 1}`,
    [slotFor(bay, `marker ${i}`, 'column', [], `${of}’s column`, () => {
      // The level of another column says nothing of this one.
      m.level = middle(table, m.column);
      const level = box.querySelector('input');
      if (level) level.value = String(m.level);
    }),
    choice('is the event', at('event'), EVENTS.map(same), m.event, (value) => {
      m.event = value;
      done(`the event of ${of}`, at('event'));
    }),
    choice('where it', at('edge'), [['rising', 'rises through'], ['falling', 'falls through']], m.edge ?? 'rising', (value) => {
      m.edge = value;
      done(`the edge of ${of}`, at('edge'));
    }),
    amount('the level', at('level'), m.level, (value) => {
      m.level = value;
      done(`the level of ${of}`, at('level'));
    })],
  );
  box.append(make('button', { type: 'button', class: 'quiet out', 'data-field': at('out'), onclick: () => {
    rig.markers.splice(i, 1);
    const near = Math.min(i, rig.markers.length - 1);
    done(`removing ${of}`, at('out'), { again: true, focus: near < 0 ? 'add marker' : `marker ${near} out`, say: `Marker ${i + 1} is removed; ${rig.markers.length} left` });
  } }, `Remove marker ${i + 1}`));
  return box;
}

/** All fields of a rig. @param {Bay} bay @param {Given[]} given @returns {HTMLElement[]} */
export function fieldsOf(bay, given) {
  const { rig, table, done } = bay;
  const addOne = make('button', { type: 'button', 'data-field': 'add plate', onclick: () => {
    addPlate(rig);
    const n = rig.plates.length;
    done(`adding plate ${n}`, 'add plate', { again: true, focus: `plate ${n - 1} kind`, say: `Plate ${n} is added; wire its channels` });
  } }, 'Add a plate');
  addOne.disabled = rig.plates.length >= MOST_PLATES;
  const addMark = make('button', { type: 'button', 'data-field': 'add marker', onclick: () => {
    const used = new Set([rig.time?.column, ...rig.plates.flatMap((p) => Object.values(p.columns)), ...rig.markers.map((m) => m.column)]);
    const free = table.list.filter((c) => !used.has(c.reference) && c.span);
    const column = (free.find((c) => c.span && c.span[0] < c.span[1]) ?? free[0] ?? table.list[table.list.length - 1]).reference;
    rig.markers.push({ column, event: 'impact', edge: 'rising', level: middle(table, column) });
    const n = rig.markers.length;
    done(`adding marker ${n}`, 'add marker', { again: true, focus: `marker ${n - 1}`, say: `Marker ${n} is added: choose its column and the level that it crosses` });
  } }, 'Add a marker');
  return [
    room(bay, given),
    ...rig.plates.map((_, i) => plateBox(bay, i)),
    make('div', { class: 'buttons' }, addOne),
    ...rig.markers.map((_, i) => markerBox(bay, i)),
    make('div', { class: 'buttons' }, addMark, make('span', { class: 'hint' }, 'A marker is a column, such as a trigger, whose crossing of a level is an event.')),
  ];
}
