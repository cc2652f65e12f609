// What happens to files and recordings: reading, analysing again, forgetting.

import { ask, end, Ended, hasWhole, needWhole, onRestart, Refused } from './engine.js';
import { attach, isFilm } from './films.js';
import { wireByItself } from './layouts.js';
import { stopUnpacking, unpacked } from './packed.js';
import { beside, part } from './pieces.js';
import { bring, readWithOne, replaced, rigsFor, Several, stays } from './rigs.js';
import { asideOf, changed, chosen, EVERY, fitWindow, hasSets, idsOf, labelOf, overruledOf, overrules, selected, setAsAtFirst, state, stopsOf } from './state.js';

/** @typedef {{name: string, blob: Blob, set?: import('./state.js').SetName, made?: Partial<import('./state.js').Recording>}} Dropped */

let ids = 0;

/** @param {unknown} error */
const sentence = (error) => (error instanceof Error ? error.message : String(error));

/**
 * One run at a time; calls during a run are answered by one more run: the latest state wins.
 * @param {() => Promise<void>} run
 */
function latest(run) {
  let running = false;
  let again = false;
  return async () => {
    if (running) {
      again = true;
      return;
    }
    running = true;
    try {
      do {
        again = false;
        await run();
      } while (again);
    } catch (error) {
      if (!(error instanceof Ended)) {
        state.fault = `The analysis broke down and was started anew: ${sentence(error)}`;
        changed();
      }
    } finally {
      running = false;
    }
  };
}

/** What the worker is told, apart from the events. @param {import('./state.js').Recording} recording */
function settingsFor(recording) {
  const given = /** @type {Record<string, number>} */ ({});
  const filmed = /** @type {Record<string, object>} */ ({});
  for (const [id, t_s] of Object.entries(recording.given)) {
    if (recording.filmed[id]) filmed[id] = { t_s, ...recording.filmed[id] };
    else given[id] = t_s;
  }
  return { ...state.settings, given, filmed };
}

/** A file that could be a table: it waits for a rig instead of being refused. @param {Uint8Array} head */
const isC3d = (head) => head[1] === 0x50;

let openSession = /** @type {(name: string, blob: Blob) => Promise<void>} */ (async () => {});

/** @param {typeof openSession} act what opens a session file that was dropped */
export function onSession(act) {
  openSession = act;
}

/** @param {Uint8Array} head */
const isSession = (head) => new TextDecoder().decode(head.subarray(0, 64)).includes('"footing-session/');

/**
 * Takes dropped files in: what is packed apart, rig files first, then everything else, and those that waited for a rig.
 * @param {Dropped[]} files
 */
export async function takeIn(files) {
  state.fault = '';
  const tables = [];
  const rigs = /** @type {{name: string, bytes: Uint8Array}[]} */ ([]);
  const all = await unpacked(files);
  const [films, others] = [all.filter(isFilm), all.filter((file) => !isFilm(file))];
  for (const file of others) {
    const { name, blob } = file;
    let rig = false;
    try {
      const head = new Uint8Array(await blob.slice(0, 65_536).arrayBuffer());
      if (isSession(head)) {
        await openSession(name, blob);
        continue;
      }
      const likely = name.toLowerCase().endsWith('.rig.json') || head.includes(0x7b);
      if (likely) {
        const bytes = new Uint8Array(await blob.arrayBuffer());
        rig = await ask('isRig', { file: name, bytes });
        if (rig) rigs.push({ name, bytes });
      }
    } catch (error) {
      state.rigProblems.push({ name, text: sentence(error) });
      continue;
    }
    if (!rig) tables.push(file);
  }
  if (rigs.length > 0) bring(rigs);
  const arrived = enter(tables);
  for (const film of films) void attach(film, arrived, films.length);
  if (rigs.length > 0) replaced();
  changed();
  await readAll();
}

/** Puts recordings into the Tray, to be read. @param {Dropped[]} files */
export function enter(files) {
  const arrived = files.map(({ name, blob, set, made }) => {
    ids += 1;
    return /** @type {import('./state.js').Recording} */ ({
      id: ids,
      name,
      blob,
      set: set ?? 'A',
      status: 'reading',
      problem: '',
      given: {},
      filmed: {},
      film: null,
      stale: false,
      held: false,
      aside: '',
      overruled: [],
      swing: null,
      others: [],
      wired: null,
      rig: undefined,
      fits: [],
      said: '',
      view: null,
      ...made,
    });
  });
  state.recordings.push(...arrived);
  return arrived;
}

/** Leaves the page as one that was just opened; with what comes before anything else is awaited, that is one step back. */
export function putAway() {
  for (const { held, id } of state.recordings.splice(0)) if (held) void ask('forget', { id }).catch(() => {});
  setAsAtFirst();
  Object.assign(state, { rig: null, rigProblems: [], selected: null, show: 'recording', fault: '' });
}

/** Reads every recording that the worker does not hold yet. */
export const readAll = latest(async () => {
  // Two sets will be compared: better now than after everything was read once.
  if (state.recordings.some((r) => r.set === 'B' && r.status === 'reading')) await needWhole();
  for (;;) {
    const next = state.recordings.find((r) => r.status === 'reading');
    if (!next) break;
    const left = state.recordings.filter((r) => r.status === 'reading').length;
    state.busy = left > 1 ? `Reading ${next.name} and ${left - 1} more` : `Reading ${next.name}`;
    changed();
    await read(next);
  }
  state.busy = '';
  changed();
  await refresh();
});

/** @param {import('./state.js').Recording} recording */
async function read(recording) {
  try {
    const buffer = await recording.blob.arrayBuffer();
    // It may have been cancelled while the disk was slow.
    if (recording.status !== 'reading') return;
    // The file on the disk may be written over or moved, and it is read again when the worker changes.
    if (recording.blob instanceof File) recording.blob = new Blob([buffer], { type: recording.blob.type });
    const bytes = new Uint8Array(buffer);
    const table = !isC3d(bytes);
    const wiring = recording.wired;
    const rigs = rigsFor(recording, table);
    // What changes from here on is not in the answer.
    recording.stale = false;
    const settings = settingsFor(recording);
    const message = { id: recording.id, file: recording.name, swing: recording.swing, settings };
    const encoded = (/** @type {import('./state.js').Rig | undefined} */ one) => one && new TextEncoder().encode(one.text);
    try {
      const near = await beside(recording, settings);
      const { rig, found } =
        near || rigs.length < 2
          ? { rig: rigs[0] ?? null, found: near ?? (await ask('load', { ...message, bytes, rig: encoded(rigs[0]) }, [buffer])) }
          : await readWithOne(recording.name, rigs, (one) => ask('load', { ...message, bytes, rig: encoded(one) }));
      const { several, ...view } = found;
      analyses += 1;
      // It was wired otherwise meanwhile: it is read once more.
      if (recording.wired?.text !== wiring?.text) return;
      stays(recording, rig);
      if (several && part(recording, several, () => (ids += 1))) {
        recording.held = true;
        return;
      }
      recording.view = view;
      recording.status = 'ready';
      recording.held = true;
      recording.problem = '';
      if (state.selected === null) select(recording.id);
      else if (state.selected === recording.id) fitWindow();
    } catch (error) {
      // Whoever ended the worker has said why.
      if (error instanceof Ended) return;
      // The first module reads tables with a rig; the whole one may know what to do without.
      const wants = table && error instanceof Refused && error.wantsWiring;
      if (table && (rigs.length === 0 || wants) && !hasWhole()) {
        await needWhole();
        return;
      }
      recording.problem = sentence(error);
      if (error instanceof Several) {
        // The worker holds what the last of them made of it.
        void ask('forget', { id: recording.id }).catch(() => {});
        if (recording.status === 'reading') Object.assign(recording, { status: table ? 'waiting' : 'refused', held: false, fits: error.rigs, said: 'Or wired by hand:' });
        changed();
        return;
      }
      if (wants) Object.assign(recording, { rig: undefined, fits: [] });
      const wired = wants && (await wireByItself(recording).catch(() => false));
      // It may have been cancelled while it was looked over.
      if (recording.status !== 'reading') return;
      if (!wired) recording.status = wants ? 'waiting' : 'refused';
    }
  } catch (error) {
    recording.problem = `${recording.name}: it cannot be opened (${sentence(error)}); try dropping it again`;
    recording.status = 'refused';
  }
  changed();
}

/** Analyses again whatever is stale, the selected recording first, then what rests on all of them. */
export const refresh = latest(async () => {
  for (;;) {
    const chosen = selected();
    const next = chosen?.stale && chosen.held ? chosen : state.recordings.find((r) => r.stale && r.held);
    if (next) {
      next.stale = false;
      try {
        next.view = await ask('again', { id: next.id, file: next.name, settings: settingsFor(next) });
        analyses += 1;
      } catch (error) {
        if (error instanceof Ended) throw error;
        // The recording stays as it was; only this change is refused.
        state.fault = sentence(error);
      }
      changed();
      // The table follows the hand even while other recordings still wait.
      if (next !== chosen) continue;
    }
    await gather();
    if (!state.recordings.some((r) => r.stale && r.held)) break;
  }
});

/** What the recordings of the sets say about each other: they are one player's. */
async function compareBetween() {
  const ids = state.recordings
    .filter((r) => r.set !== '' && r.held && r.aside === '' && !r.view?.tray.notes.some((n) => n.level === 'stop' && !overrules(r, n.code)))
    .map((r) => r.id);
  const notes = ids.length < 2 ? [] : await ask('between', { ids: Uint32Array.from(ids) });
  state.between = {};
  for (const { id, ...note } of notes) (state.between[id] ??= []).push(note);
  const read = !state.recordings.some((r) => r.status === 'reading');
  // What a hand has just overruled has its names: also what is said only because the recording counts now.
  for (const r of state.recordings) if (read && r.view && r.overruled.includes(EVERY)) r.overruled = [...new Set([...r.overruled.filter((code) => code !== EVERY), ...stopsOf(r).map((n) => n.code)])];
}

async function gather() {
  const one = selected();
  await compareBetween();
  const [a, b] = [idsOf('A'), idsOf('B')].map((ids) => Uint32Array.from(ids));
  state.rows = one?.held ? await ask('measures', { one: one.id, a, b }) : [];
  if (!hasSets()) state.show = 'recording';
  state.sets = state.show === 'sets' ? await ask('sets', { a, b, one: one?.held ? one.id : undefined }) : null;
  if (state.show === 'sets' && !state.window) fitWindow();
  compareSoon();
  changed();
}

/** How long a hand must rest before A and B are compared again: a drag is not to wait for it. */
const REST_MS = 150;

let analyses = 0;
let comparedOf = '';
let soon = 0;

/** Compares A and B again when anything that it rests on is another. */
function compareSoon() {
  const of = JSON.stringify([chosen(), asideOf('A'), asideOf('B'), overruledOf('A'), overruledOf('B'), labelOf('A'), labelOf('B'), state.choice, analyses]);
  if (of === comparedOf) return;
  comparedOf = of;
  window.clearTimeout(soon);
  state.comparing = hasSets();
  if (state.comparing) soon = window.setTimeout(() => void compareNow(), state.comparison ? REST_MS : 0);
  else state.comparison = null;
}

const compareNow = latest(async () => {
  const of = comparedOf;
  if (hasSets() && !hasWhole()) {
    // Everything is read again by the new worker, and compared after that.
    await needWhole();
    return;
  }
  const found = hasSets() ? await compare() : null;
  if (of !== comparedOf) return;
  state.comparison = found;
  state.link = null;
  state.comparing = false;
  changed();
});

async function compare() {
  // Where there are no pairs the choice waits.
  const { a, b, paired } = chosen();
  const choice = {
    labels: [labelOf('A'), labelOf('B')],
    paired,
    linear: state.choice.linear,
    set_aside: [asideOf('A'), asideOf('B')],
    overruled: [a, b].map((ids) => state.recordings.filter((r) => ids.includes(r.id) && stopsOf(r).length > 0).length),
  };
  try {
    return await ask('compare', { a: Uint32Array.from(a), b: Uint32Array.from(b), choice });
  } catch (error) {
    if (error instanceof Ended) throw error;
    return { problem: sentence(error) };
  }
}

let packing = Promise.resolve();

/** Packs the newest comparison, with what was typed, into a link to the page at `base`; one after the other. @param {string} base */
export function pack(base) {
  packing = packing.then(async () => {
    try {
      state.link = await ask('pack', { words: { ...state.words }, base });
    } catch (error) {
      // A fresh worker compares again, and the link is asked for again after that.
      state.link = error instanceof Ended ? null : { problem: sentence(error) };
    }
    changed();
  });
}

/** @param {number | null} id */
export function select(id) {
  state.selected = id;
  if (state.show === 'recording') {
    state.cursor = null;
    fitWindow();
  }
  changed();
  void refresh();
}

/** @param {import('./state.js').Recording} recording */
export function remove(recording) {
  state.recordings.splice(state.recordings.indexOf(recording), 1);
  if (recording.held) void ask('forget', { id: recording.id });
  if (state.selected === recording.id) {
    state.selected = null;
    select(state.recordings.find((r) => r.status === 'ready')?.id ?? null);
  }
  changed();
  void refresh();
}

/** @param {import('./state.js').Recording} recording @param {import('./state.js').SetName} set */
export function assign(recording, set) {
  recording.set = set;
  changed();
  void refresh();
}

/** Leaves a recording out of its set for a reason, or counts it again. @param {import('./state.js').Recording} recording @param {string} reason */
export function setAside(recording, reason) {
  recording.aside = reason.trim();
  changed();
  void refresh();
}

/** Counts a recording against the stops it has now, or no longer against any. @param {import('./state.js').Recording} recording @param {boolean} counts */
export function overrule(recording, counts) {
  recording.overruled = counts ? [...recording.overruled, EVERY] : [];
  changed();
  void refresh();
}

/** @param {Partial<typeof state.choice>} change */
export function choose(change) {
  Object.assign(state.choice, change);
  changed();
  void refresh();
}

/**
 * Sets an event by hand or from film, or takes the person's word back.
 * @param {string} event @param {number | null} t_s @param {{uncertainty_s: number, frames_per_s: number}} [film]
 */
export function give(event, t_s, film) {
  const recording = selected();
  if (!recording) return;
  if (t_s === null) delete recording.given[event];
  else recording.given[event] = t_s;
  if (film) recording.filmed[event] = film;
  else delete recording.filmed[event];
  recording.stale = true;
  state.fault = '';
  changed();
  void refresh();
}

/** @param {Partial<import('./state.js').Settings>} change */
export function set(change) {
  Object.assign(state.settings, change);
  state.fault = '';
  for (const recording of state.recordings) recording.stale = true;
  changed();
  void refresh();
}

/** @param {'recording' | 'sets'} what */
export async function show(what) {
  state.show = what;
  state.window = null;
  state.cursor = null;
  await refresh();
  fitWindow();
  changed();
}

/** Ends the reading; what was read before is read again by a fresh worker. */
export function cancel() {
  for (const recording of state.recordings) {
    if (recording.status !== 'reading') continue;
    recording.status = 'refused';
    recording.problem = `${recording.name}: cancelled before it was read; drop it again`;
  }
  stopUnpacking();
  end();
}

onRestart(() => {
  for (const recording of state.recordings) {
    if (!recording.held) continue;
    recording.held = false;
    recording.status = 'reading';
  }
  state.busy = '';
  changed();
  setTimeout(() => void readAll(), 0);
});
