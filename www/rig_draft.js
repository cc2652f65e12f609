// The rig that is being made in the Wiring: plain data as in a rig file, which slot holds which column, and the steps to it.

/** @typedef {{foot?: string, kind: string, columns: Record<string, string>, x_azimuth_deg?: number, z_axis?: string, centre_m: number[],
 *   moment_point_m?: number[], size_m?: (number | null)[], sensor_offset_m?: number[]}} Plate */
/** @typedef {{column: string, event: string, edge?: string, level: number}} Marker */
/** @typedef {{format: string, name?: string, target_azimuth_deg?: number, force_sense?: string, units: Record<string, string>,
 *   time?: {column?: string, rate_hz?: number}, markers: Marker[], plates: Plate[]}} Rig */

export const CHANNELS = /** @type {Record<string, string[]>} */ ({
  'six-component': ['fx', 'fy', 'fz', 'mx', 'my', 'mz'],
  'force-cop': ['fx', 'fy', 'fz', 'cop_x', 'cop_y', 'tz'],
  'eight-channel': ['fx12', 'fx34', 'fy14', 'fy23', 'fz1', 'fz2', 'fz3', 'fz4'],
  'vertical-cop': ['fz', 'cop_x', 'cop_y'],
});
/** As many as a rig file may hold. */
export const MOST_PLATES = 64;
/** A field that goes on being typed in without such a pause is one step. */
const PAUSE_MS = 1000;

/** @param {string | undefined} foot @param {number} x @returns {Plate} */
const plate = (foot, x) => ({ foot, kind: 'six-component', columns: {}, x_azimuth_deg: 0, z_axis: 'up', centre_m: [x, 0, 0], moment_point_m: [0, 0, 0] });

/** @returns {Rig} */
export const blank = () => ({
  format: 'footing-rig/1',
  target_azimuth_deg: 0,
  force_sense: 'auto',
  units: { force: 'N', moment: 'N.m', length: 'm', time: 's' },
  time: { rate_hz: 1000 },
  markers: [],
  plates: [plate('lead', 0.25), plate('trail', -0.25)],
});

/** The rig in the text of a rig file, when it wires columns. @param {string | undefined} text @returns {Rig | null} */
export function fromText(text) {
  try {
    const rig = JSON.parse((text ?? '').replace(/^\ufeff/, ''));
    if (!rig.plates.every((/** @type {any} */ p) => p.kind in CHANNELS)) return null;
    for (const p of rig.plates) {
      p.columns ??= {};
      p.centre_m ??= [0, 0, 0];
    }
    return { ...rig, units: { force: 'N', moment: 'N.m', length: 'm', time: 's', ...rig.units }, markers: rig.markers ?? [] };
  } catch {
    return null;
  }
}

/** Every slot a column can go to: the time, each channel of each plate, each marker. @param {Rig} rig @returns {{slot: string, column: string, words: string}[]} */
export const slotsOf = (rig) => [
  { slot: 'time', column: rig.time?.column ?? '', words: 'time' },
  ...rig.plates.flatMap((p, i) => CHANNELS[p.kind].map((channel) => ({ slot: `plate ${i} ${channel}`, column: p.columns[channel] ?? '', words: `plate ${i + 1} ${channel}` }))),
  ...rig.markers.map((m, i) => ({ slot: `marker ${i}`, column: m.column, words: `marker ${i + 1}` })),
];

/** Puts a column into a slot; an empty one takes it out. @param {Rig} rig @param {string} slot @param {string} column */
export function put(rig, slot, column) {
  const [kind, n, channel] = slot.split(' ');
  if (kind === 'time') rig.time = column === '' ? { rate_hz: rig.time?.rate_hz ?? 1000 } : { column };
  else if (kind === 'marker') rig.markers[Number(n)].column = column;
  else if (column === '') delete rig.plates[Number(n)].columns[channel];
  else rig.plates[Number(n)].columns[channel] = column;
}

/**
 * Carries a column by hand: from the list it leaves the channel that it was in, from another slot the two change places.
 * @param {Rig} rig @param {string} slot @param {string} column @param {string} from the slot it was taken from; empty for the list
 */
export function carry(rig, slot, column, from) {
  const held = slotsOf(rig).find((s) => s.slot === slot)?.column ?? '';
  // A marker may look at a column that is used elsewhere too, and always looks at one.
  const [mark, markFrom] = [slot, from].map((s) => s.startsWith('marker'));
  if (from !== '' && from !== slot && !mark && !markFrom) put(rig, from, held);
  if (from === '' && !mark) for (const s of slotsOf(rig)) if (s.column === column && s.slot !== slot && s.slot.startsWith('plate')) put(rig, s.slot, '');
  put(rig, slot, column);
}

/** What a rig still lacks to be one, in a sentence; empty when nothing. @param {Rig} rig */
export function lacking({ plates }) {
  const parts = plates.flatMap((p, i) => {
    // Without a free moment of its own a plate is read with a warning.
    const open = CHANNELS[p.kind].filter((channel) => !p.columns[channel] && channel !== 'tz');
    return open.length > 0 ? [`plate ${i + 1} lacks ${open.join(', ')}`] : [];
  });
  const all = parts.join('; ');
  return all === '' ? '' : `${all[0].toUpperCase()}${all.slice(1)}: wire what is lacking, choose another kind, or remove the plate`;
}

/** Adds a plate that carries the foot that is still without one. @param {Rig} rig */
export function addPlate(rig) {
  const feet = rig.plates.map((p) => p.foot);
  const like = rig.plates.at(-1);
  // Feet are said of all plates or, to be found out, of none.
  const foot = feet.includes(undefined) ? undefined : feet.includes('both') ? 'both' : ['lead', 'trail'].find((f) => !feet.includes(f)) ?? feet.at(-1);
  const [x, y, z] = like?.centre_m ?? [0, 0, 0];
  // Beside the last one, so that it is seen.
  rig.plates.push({ ...structuredClone(like ?? plate(foot, 0)), columns: {}, foot, centre_m: [x, y + 0.6, z] });
}

/**
 * Takes what lies in the bay, not what columns hold, from another rig. A plate is the other's that has a column of the same
 * name, or carries the same foot; only where neither tells, the one in the same place.
 * @param {Rig} rig @param {Rig} other @param {boolean} feet whether the table says whose foot is on each plate
 */
export function takeBay(rig, other, feet) {
  if (other.target_azimuth_deg !== undefined) rig.target_azimuth_deg = other.target_azimuth_deg;
  // A number is a place in a row and no name.
  const names = (/** @type {Plate} */ p) => Object.values(p.columns).filter((column) => !column.startsWith('#'));
  for (const [i, p] of rig.plates.entries()) {
    const mine = names(p);
    const named = other.plates.find((o) => names(o).some((column) => mine.includes(column)));
    const from = named ?? (feet ? other.plates.find((o) => o.foot !== undefined && o.foot === p.foot) : other.plates[i]);
    if (!from) continue;
    const { foot, x_azimuth_deg, z_axis, centre_m, moment_point_m, size_m } = structuredClone(from);
    Object.assign(p, { x_azimuth_deg, z_axis, centre_m, moment_point_m, size_m }, feet ? {} : { foot });
    if (p.sensor_offset_m && from.sensor_offset_m) p.sensor_offset_m = [...from.sensor_offset_m];
  }
}

/** The feet of a player of the other hand; the target with them, where nobody has said another. @param {Rig} rig @param {number | undefined} proposed */
export function otherFeet(rig, proposed) {
  const other = /** @type {Record<string, string>} */ ({ lead: 'trail', trail: 'lead' });
  for (const p of rig.plates) if (p.foot) p.foot = other[p.foot] ?? p.foot;
  if (proposed !== undefined && rig.target_azimuth_deg === proposed) rig.target_azimuth_deg = (proposed + 180) % 360;
}

/** A rig and the steps to it. */
export class Draft {
  /** @param {Rig} rig */
  constructor(rig) {
    this.rig = rig;
    this.at = 0;
    this.steps = [{ words: '', field: '', when: 0, rig: structuredClone(rig) }];
  }

  /** The text of its rig file: half a size is none. */
  get text() {
    const { name, markers, plates, ...rest } = this.rig;
    const whole = plates.map(({ size_m, ...p }) => ({ ...p, ...(size_m?.every((m) => m !== null) ? { size_m } : {}) }));
    const { format, ...more } = rest;
    const rig = { format, ...(name ? { name } : {}), ...more, ...(markers.length > 0 ? { markers } : {}), plates: whole };
    return `${JSON.stringify(rig, null, 2)}\n`;
  }

  /**
   * Keeps what was changed in the rig as a step.
   * @param {string} words @param {string} field @param {boolean} goesOn whether the same field changed just before is the same step
   * @returns {boolean} whether anything is another
   */
  keep(words, field, goesOn) {
    const now = this.steps[this.at];
    if (JSON.stringify(now.rig) === JSON.stringify(this.rig)) return false;
    this.steps.length = this.at + 1;
    const step = { words, field, when: performance.now(), rig: structuredClone(this.rig) };
    if (goesOn && this.at > 0 && now.field === field && step.when - now.when < PAUSE_MS) this.steps[this.at] = step;
    else this.at = this.steps.push(step) - 1;
    return true;
  }

  /** What is undone next, and done again next, in words; empty when there is nothing. */
  get next() {
    return [this.steps[this.at].words, this.steps[this.at + 1]?.words ?? ''];
  }

  /** Goes a step back (-1) or on (1). @param {-1 | 1} by @returns {{words: string, field: string} | null} the step undone or done again */
  go(by) {
    const step = this.steps[by < 0 ? this.at : this.at + 1];
    if (!step || step.words === '') return null;
    this.at += by;
    this.rig = structuredClone(this.steps[this.at].rig);
    return step;
  }
}
