// The one place of state. Every view is a function of it; nothing else is kept anywhere.

/**
 * @typedef {'A' | 'B' | ''} SetName
 * @typedef {{label: string, foot: string | null, set: string | null, y: number, spread: number | null}} Line
 * @typedef {{head: string[], rows: string[][]}} Readings
 * @typedef {{id: string, title: string, unit: string, decimals: number, up: string, down: string, sentence: string,
 *   shaded: boolean, lines: Line[], rules: {y: number, label: string}[], absent: string | null, readings: Readings}} Chart
 * @typedef {{id: string, label: string, t_s: number, source: string, uncertainty_s: number, how: string, text: string}} SwingEvent
 * @typedef {{target_on_left: boolean, plates: object[], sentence: string,
 *   paths: {label: string, foot: string | null, set: string | null, t: number, a: number}[]}} Plan
 * @typedef {{x: number, x_title: string, swing_s: [number, number], about: string, charts: Chart[], plan: Plan,
 *   events: SwingEvent[], placeable: {id: string, label: string, reason: string}[]}} Bench
 * @typedef {{bench: Bench, columns: Float64Array[]}} Shown
 * @typedef {{code: string, level: string, text: string, concerns: string[]}} Note `concerns`: beginnings of measures, and charts; none: all alike
 * @typedef {{file: string, facts: {name: string, text: string}[], notes: Note[]}} TrayView
 * @typedef {Shown & {sentence: string, tray: TrayView}} RecordingView
 * @typedef {{id: string, label: string, unit: string, value: string | null, absent: string, estimated: string,
 *   impact_shift: string, from_address: string, a: OfSet, b: OfSet}} Row
 * @typedef {{mean: string, below: string, estimated: string}} OfSet
 * @typedef {{handed: string, about: string, target_azimuth_deg: number | null, low_pass: number | 'off' | 'auto',
 *   mass_kg: number | null, load_threshold_n: number | null, zero_quiet: boolean}} Settings
 * @typedef {{id: string, label: string, unit: string, a: string, b: string, change: string, interval: string, spread: string,
 *   verdict: string, verdict_id: string, details: [string, string][], estimated: boolean, definition: [string, string, string],
 *   picture: {a: number[], b: number[], mean_a: number, mean_b: number, interval: [number, number] | null,
 *     band: [number, number] | null, alt: string} | null}} Finding
 * @typedef {{sentences: [string, string, string], counted: number, rows: Finding[], notes: {code: string, text: string}[],
 *   paired: boolean, linear: boolean, sets: {label: string, swings: number, set_aside: number, overruled: number}[]}} Said
 * @typedef {{curve: string, label: string, sentence: string,
 *   marks: {pct: [number, number], span_s: [number, number] | null, higher: boolean}[]}} Difference
 * @typedef {{x: number, nodes: number, top_node: number | null, span_s: [number, number], about: string, torque: [Chart, Chart],
 *   angle: Chart, plan: Plan, events: [string, number][], tested: string | null, differences: Difference[]}} Compared
 * @typedef {{said: Said, compared: Compared, columns: Float64Array[]}} Comparison
 * @typedef {Comparison & {words: {title: string | null, cue: string | null, holds: [string, string][]}}} Received
 * @typedef {{fragment: string, url: string, characters: number, qr_url: string, qr: string | null, qr_modules: number | null,
 *   holds: [string, string][]}} Link
 * @typedef {{name: string, text: string}} Rig a rig file
 * @typedef {object} Recording
 * @property {number} id
 * @property {string} name
 * @property {Blob} blob  the file itself, read again when the worker was ended
 * @property {SetName} set
 * @property {'reading' | 'ready' | 'waiting' | 'refused'} status
 * @property {string} problem  the sentence, when waiting or refused
 * @property {Record<string, number>} given  events set by a person, seconds
 * @property {Record<string, {uncertainty_s: number, frames_per_s: number}>} filmed  those of them that were set from film
 * @property {import('./films.js').Film | null} film
 * @property {boolean} stale  settings or events changed since the analysis
 * @property {boolean} held  the worker holds it
 * @property {string} aside  why it is set aside; empty when it counts
 * @property {string[]} overruled  codes of the stops against which a person's hand counts it; `EVERY` until they are named
 * @property {{from_s: number, to_s: number} | null} swing  the one of several swings in the file that this is
 * @property {string[]} others  movements in the file that are no swing, in words
 * @property {import('./layouts.js').Wiring | null} wired  the rig that was found or made for this table alone
 * @property {Rig | null | undefined} rig  the rig file of the page that it was read with and stays with; not there before it was read
 * @property {Rig[]} fits  the rig files of the page that all fit it, while it waits for one to be chosen
 * @property {string} said  how it came to be wired, or what is asked
 * @property {RecordingView | null} view
 */

const recordings = /** @type {Recording[]} */ ([]);

export const state = {
  recordings,
  selected: /** @type {number | null} */ (null),
  /** The rig file of the page, and those that came together with it. */
  rig: /** @type {{name: string, bytes: Uint8Array, beside: Rig[]} | null} */ (null),
  rigProblems: /** @type {{name: string, text: string}[]} */ ([]),
  labels: { A: 'before', B: 'after' },
  /** @type {Settings} */
  settings: {
    handed: 'right',
    about: 'stance-centre',
    target_azimuth_deg: null,
    low_pass: 50,
    mass_kg: null,
    load_threshold_n: null,
    zero_quiet: false,
  },
  show: /** @type {'recording' | 'sets'} */ ('recording'),
  range: /** @type {'swing' | 'whole'} */ ('swing'),
  /** Part of the time axis on screen; stays put while an event is dragged. */
  window: /** @type {[number, number] | null} */ (null),
  cursor: /** @type {number | null} */ (null),
  sets: /** @type {Shown | null} */ (null),
  /** What recordings of one player say about each other, by id. */
  between: /** @type {Record<number, Note[]>} */ ({}),
  /** How the two sets are compared. */
  choice: { paired: false, linear: false },
  /** What A and B come to, as the receiver of a link will read it; or why they cannot be compared. */
  comparison: /** @type {Comparison | {problem: string} | null} */ (null),
  /** Whether a newer comparison is on its way. */
  comparing: false,
  /** What a person adds to a link, and where the page is hosted when it is not this address. */
  words: { title: '', cue: '' },
  base: '',
  link: /** @type {Link | {problem: string} | null} */ (null),
  /** What the address holds; the page shows nothing else while there is one. */
  received: /** @type {Received | {problem: string} | null} */ (null),
  rows: /** @type {Row[]} */ ([]),
  open: /** @type {Set<string>} */ (new Set()),
  busy: '',
  fault: '',
};

const { settings, labels, choice, words } = structuredClone(state);
const FIRST = { settings, labels, choice, words };

/** What a person has set is as on a page that was just opened. */
export function setAsAtFirst() {
  for (const [what, first] of Object.entries(FIRST)) Object.assign(state[/** @type {keyof typeof FIRST} */ (what)], first);
}

const views = /** @type {(() => void)[]} */ ([]);
let waiting = false;

/** @param {() => void} view called after every change, at most once a frame */
export function onChange(view) {
  views.push(view);
}

/** Brings every view to the state at once. */
export function viewNow() {
  for (const view of views) view();
}

/** Tells every view that the state is another. */
export function changed() {
  if (waiting) return;
  waiting = true;
  requestAnimationFrame(() => {
    waiting = false;
    viewNow();
  });
}

export const selected = () => state.recordings.find((r) => r.id === state.selected) ?? null;

/** One of the facts of the recording that is looked at; empty where there is none. @param {string} name */
export const fact = (name) => selected()?.view?.tray.facts.find((f) => f.name === name)?.text ?? '';

/** What is said of a recording, by itself and beside the others. @param {Recording} recording */
export const notesOf = (recording) => [...(recording.view?.tray.notes ?? []), ...(state.between[recording.id] ?? [])];

/** The notes that say not to use a recording. @param {Recording} recording */
export const stopsOf = (recording) => notesOf(recording).filter((n) => n.level === 'stop');

/** Every stop that is there when the sets are next looked through; then they have their names. */
export const EVERY = '*';

/** Whether a hand counts a recording against a stop of this code. @param {Recording} recording @param {string} code */
export const overrules = (recording, code) => recording.overruled.includes(code) || recording.overruled.includes(EVERY);

/** The stops that no hand has overruled. @param {Recording} recording */
export const standingOf = (recording) => stopsOf(recording).filter((n) => !overrules(recording, n.code));

/** Whether a recording counts in its set: not set aside, and without a stop that stands. @param {Recording} recording */
export const counts = (recording) => recording.held && recording.aside === '' && standingOf(recording).length === 0;

/** How many counted recordings of a set carry a stop. @param {SetName} set */
export const overruledOf = (set) => state.recordings.filter((r) => r.set === set && counts(r) && stopsOf(r).length > 0).length;

/** @param {SetName} set */
export const idsOf = (set) => state.recordings.filter((r) => r.set === set && counts(r)).map((r) => r.id);

/**
 * Which swings belong together: the first of A and the first of B, and so on, as they lie in the Tray. A pair of which
 * one swing does not count is left out whole; `without` are the swings that go with it.
 */
export function pairing() {
  const [a, b] = /** @type {const} */ (['A', 'B']).map((set) => state.recordings.filter((r) => r.set === set && r.held));
  const pairs = a.length === b.length ? a.map((r, i) => [r, b[i]]) : [];
  const whole = pairs.filter((pair) => pair.every(counts));
  if (whole.length > 0) {
    const without = pairs.flatMap((pair) => (pair.every(counts) ? [] : pair.filter(counts)));
    return { possible: true, a: whole.map((pair) => pair[0].id), b: whole.map((pair) => pair[1].id), without };
  }
  const [inA, inB] = [idsOf('A'), idsOf('B')];
  return { possible: inA.length === inB.length, a: inA, b: inB, without: /** @type {Recording[]} */ ([]) };
}

/** The swings that are compared, and whether in pairs. */
export function chosen() {
  const pairs = pairing();
  return state.choice.paired && pairs.possible ? { a: pairs.a, b: pairs.b, paired: true } : { a: idsOf('A'), b: idsOf('B'), paired: false };
}

/** How many recordings of a set a person set aside. @param {SetName} set */
export const asideOf = (set) => state.recordings.filter((r) => r.set === set && r.held && r.aside !== '').length;

/** A set's label as it is written; the page's own when it was emptied. @param {'A' | 'B'} set */
export const labelOf = (set) => state.labels[set].trim() || { A: 'before', B: 'after' }[set];

/** The comparison, when there is one. */
export const compared = () => (state.comparison && !('problem' in state.comparison) ? state.comparison : null);

export const hasSets = () => idsOf('A').length > 0 && idsOf('B').length > 0;

/** What the Bench shows now. @returns {Shown | null} */
export function shown() {
  if (state.show === 'sets' && state.sets) return state.sets;
  return selected()?.view ?? null;
}

/** Air beside an instant that the axis was widened for, seconds. */
const BESIDE_S = 0.1;

/** Widens the time axis until an instant lies on it. @param {number} t */
export function keepInSight(t) {
  const now = shown();
  if (!now || !state.window) return;
  const x = now.columns[now.bench.x];
  const [from, to] = state.window;
  if (t < from) state.window = [Math.max(t - BESIDE_S, x[0]), to];
  if (t > to) state.window = [from, Math.min(t + BESIDE_S, x[x.length - 1])];
}

/** Whether the time axis was laid over sets, whose instants are counted from the top. */
let laidOverSets = false;

/** Whether the time axis is that of what is shown: a recording that is read again meanwhile lays it over itself. */
export const isFitted = () => state.window !== null && laidOverSets === (shown() === state.sets);

/** Lays the time axis anew over what is shown. */
export function fitWindow() {
  const now = shown();
  if (laidOverSets !== (now === state.sets)) state.cursor = null;
  laidOverSets = now === state.sets;
  if (!now) {
    state.window = null;
    return;
  }
  const x = now.columns[now.bench.x];
  state.window = state.range === 'swing' ? [...now.bench.swing_s] : [x[0], x[x.length - 1]];
  // What a hand has placed stays in sight wherever it was placed.
  if (state.show === 'recording') Object.values(selected()?.given ?? {}).forEach(keepInSight);
  if (state.cursor === null || state.cursor < state.window[0] || state.cursor > state.window[1]) {
    const top = now.bench.events.find((e) => e.id.startsWith('top'));
    state.cursor = top ? top.t_s : state.window[0];
  }
}
