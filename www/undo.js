// Undo and redo of what a person made: events, sets, asides, labels, settings, rig, wiring, films, files taken in and removed.
//
// The person's part of the state is small, so each step keeps the whole of it, before and after. Steps are seen, not
// announced: whatever differs after a change is one; what goes on under one press of the pointer, or with one key or
// field without a pause, stays one step.

import { make } from './dom.js';
import { ask } from './engine.js';
import { playable } from './films.js';
import { knowOnly, layouts, remembersOneOf } from './layouts.js';
import { listed } from './rigs.js';
import { changed, EVERY, onChange, state } from './state.js';
import { readAll, select } from './work.js';

/** @typedef {import('./state.js').Recording} Recording */
/** @typedef {{recording: Recording, set: import('./state.js').SetName, given: Record<string, number>, filmed: Recording['filmed'], aside: string, overruled: string[], film: KeptFilm | null, wired: Recording['wired'], rig: Recording['rig'], said: string, waits: string}} Kept */
/** @typedef {import('./films.js').Film} Film */
/** @typedef {{of: Film, stated: number | null, filmed: number | null, shared: Film['shared']}} KeptFilm */
/** @typedef {{recordings: Kept[], settings: import('./state.js').Settings, labels: {A: string, B: string},
 *   choice: typeof state.choice, words: typeof state.words, rig: typeof state.rig, layouts: ReturnType<typeof layouts>}} Made */
/** @typedef {{words: string, what: string, before: Made, after: Made, at: number, gesture: number, hand: boolean}} Step */

const MOST_STEPS = 200;
/** Changes of the same thing this soon after one another are one step. */
const PAUSE_MS = 1000;
const ARRIVAL_MS = 5000;
const SETTINGS = /** @type {Record<string, string>} */ ({
  handed: 'which hand the player plays',
  about: 'the point torque is about',
  target_azimuth_deg: 'the target direction',
  low_pass: 'the low-pass filter',
  mass_kg: 'the body mass',
  load_threshold_n: 'the load threshold',
  zero_quiet: 'taking off what quiet stance leaves',
});

const past = /** @type {Step[]} */ ([]);
const future = /** @type {Step[]} */ ([]);
let known = made();
let pressed = false;
/** Counts what the person does, so that its consequences can be told from those of the last. */
let gesture = 0;
/** Closed by releasing the pointer: the next change is another step. */
let closed = true;
/** How many steps lay behind when everything was last put away safely. */
let safe = 0;

/** @returns {Made} */
function made() {
  return {
    recordings: state.recordings.map((recording) => ({
      recording,
      set: recording.set,
      given: { ...recording.given },
      filmed: { ...recording.filmed },
      aside: recording.aside,
      overruled: recording.overruled,
      film: recording.film && playable(recording.film) ? keptFilm(recording.film) : null,
      wired: recording.wired,
      rig: recording.rig,
      said: recording.said,
      waits: recording.status === 'waiting' ? recording.problem : '',
    })),
    settings: { ...state.settings },
    labels: { ...state.labels },
    choice: { ...state.choice },
    words: { ...state.words },
    rig: state.rig,
    layouts: layouts(),
  };
}

/** A measured rate is no work of a hand. @param {Film} of @returns {KeptFilm} */
const keptFilm = (of) => ({ of, stated: of.measured ? null : of.plays, filmed: of.filmed, shared: of.shared });

/** @param {KeptFilm | null} film @returns {Film | null} */
function bringBack(film) {
  if (!film || !playable(film.of)) return null;
  const { of, stated, filmed, shared } = film;
  const rate = stated === null ? { plays: of.found, measured: of.found !== null } : { plays: stated, measured: false };
  return Object.assign(of, rate, { filmed, shared });
}

const same = (/** @type {unknown} */ a, /** @type {unknown} */ b) => JSON.stringify(a) === JSON.stringify(b);

const label = (/** @type {string} */ event) => event.replace('arm_level', 'lead arm level');

/**
 * What differs: in words, and as a name that is the same when the same thing changes again.
 * @param {Made} a @param {Made} b
 * @returns {{words: string, what: string, hand: boolean} | null}
 */
function difference(a, b) {
  const [were, are] = [a, b].map((m) => new Set(m.recordings.map((k) => k.recording)));
  const came = b.recordings.filter((k) => !were.has(k.recording));
  const went = a.recordings.filter((k) => !are.has(k.recording));
  const some = (/** @type {Kept[]} */ list) => (list.length === 1 ? list[0].recording.name : `${list.length} recordings`);
  if (came.length > 0 && went.length > 0) return { words: `opening ${some(came)} in the place of ${some(went)}`, what: 'session', hand: false };
  if (came.length > 0) return { words: `taking in ${some(came)}`, what: 'came', hand: false };
  if (went.length > 0) return { words: `removing ${some(went)}`, what: `went ${went[0].recording.id}`, hand: true };
  if (a.rig !== b.rig) return { words: b.rig ? `the rig${b.rig.beside.length === 0 ? '' : 's'} ${listed([b.rig, ...b.rig.beside], 'and')}` : 'taking the rig away', what: 'rig', hand: false };
  const anew = b.recordings.filter((k) => k.rig && a.recordings.some((old) => old.recording === k.recording && (old.rig !== undefined || (old.waits !== '' && k.waits === '')) && old.rig?.text !== k.rig?.text));
  if (anew.length > 0) return { words: `reading ${some(anew)} with ${anew[0].rig?.name}`, what: 'read anew', hand: true };
  if (a.layouts !== b.layouts) {
    // What a table is wired by without a hand is not said here: it follows from this.
    const rewired = b.recordings.filter((k) => a.recordings.find((old) => old.recording === k.recording)?.wired?.text !== k.wired?.text);
    if (rewired.length > 0) return { words: `wiring ${some(rewired)}`, what: `wiring ${rewired[0].recording.id}`, hand: true };
  }
  for (const [i, kept] of b.recordings.entries()) {
    const old = a.recordings[i];
    const { name, id } = kept.recording;
    if (old.recording !== kept.recording) return { words: 'the order of the recordings', what: 'order', hand: true };
    const events = new Set([...Object.keys(old.given), ...Object.keys(kept.given)]);
    for (const event of events) {
      if (old.given[event] === kept.given[event] && same(old.filmed[event], kept.filmed[event])) continue;
      const verb = !(event in kept.given) ? 'taking back' : kept.filmed[event] ? 'setting from film' : event in old.given ? 'moving' : 'setting';
      return { words: `${verb} ${label(event)} of ${name}`, what: `event ${id} ${event} ${event in kept.given}`, hand: true };
    }
    const film = filmDifference(old, kept, a, b);
    if (film) return film;
    if (old.set !== kept.set) return { words: `putting ${name} in ${kept.set === '' ? 'neither set' : `set ${kept.set}`}`, what: `set ${id} ${kept.set}`, hand: true };
    // Whatever has no names yet has them as soon as the sets are looked through.
    if (!same(old.overruled, kept.overruled) && !old.overruled.includes(EVERY)) {
      return { words: kept.overruled.length > old.overruled.length ? `using ${name} all the same` : `leaving ${name} out again`, what: `overruled ${id}`, hand: true };
    }
    if (old.aside !== kept.aside) {
      return { words: kept.aside === '' ? `counting ${name} again` : `setting ${name} aside`, what: `aside ${id}`, hand: true };
    }
  }
  for (const set of /** @type {const} */ (['A', 'B'])) {
    if (a.labels[set] !== b.labels[set]) return { words: `naming set ${set} “${b.labels[set]}”`, what: `label ${set}`, hand: true };
  }
  for (const [key, words] of Object.entries(SETTINGS)) {
    const name = /** @type {keyof Made['settings']} */ (key);
    if (a.settings[name] !== b.settings[name]) return { words, what: `setting ${key}`, hand: true };
  }
  for (const [key, words] of /** @type {const} */ ([['title', 'the title of the link'], ['cue', 'the cue for the player']])) {
    if (a.words[key] !== b.words[key]) return { words, what: `words ${key}`, hand: true };
  }
  return same(a.choice, b.choice) ? null : { words: 'how the sets are compared', what: 'choice', hand: true };
}

/** What differs between the films of a recording. @param {Kept} old @param {Kept} kept @param {Made} a @param {Made} b */
function filmDifference(old, kept, a, b) {
  const { name, id } = kept.recording;
  const [was, is] = [old, kept].map(({ film }) => film && playable(film.of) ? film : null);
  if (was?.of !== is?.of) {
    const beside = (/** @type {Made} */ made, /** @type {KeptFilm | null} */ film) => film && made.recordings.find((k) => k.film?.of === film.of)?.recording.name;
    const [to, from] = [beside(b, was), beside(a, is)];
    const what = `film ${id}`;
    if (was && to) return { words: `moving the film ${was.of.name} to ${to}`, what, hand: true };
    if (is && from) return { words: `moving the film ${is.of.name} to ${name}`, what, hand: true };
    if (is) return { words: `putting the film ${is.of.name} beside ${name}`, what, hand: false };
    return { words: `removing the film ${was?.of.name}`, what, hand: true };
  }
  if (!was || !is) return null;
  for (const [key, words] of /** @type {const} */ ([['shared', 'lining up the film'], ['filmed', 'how fast it was filmed:'], ['stated', 'how fast it plays:']])) {
    if (!same(was[key], is[key])) return { words: `${words} ${is.of.name}`, what: `film ${id} ${key}`, hand: true };
  }
  return null;
}

/** Several swings that were found in one file are no step: wherever the file was, they are. @param {Made} now */
function parted(now) {
  const were = new Set(known.recordings.map((k) => k.recording));
  for (const [i, { recording }] of now.recordings.entries()) {
    const before = now.recordings[i - 1]?.recording;
    if (were.has(recording) || !recording.swing || before?.blob !== recording.blob) continue;
    for (const made of new Set([known, ...[...past, ...future].flatMap((step) => [step.before, step.after])])) {
      const at = made.recordings.findIndex((k) => k.recording === before);
      if (at < 0) continue;
      made.recordings.splice(at + 1, 0, { ...made.recordings[at], recording, given: {}, filmed: {}, film: null });
    }
  }
}

/** Looks whether a person changed something since the last look. */
function look() {
  const now = made();
  parted(now);
  const found = difference(known, now);
  if (!found) {
    known = now;
    return;
  }
  const last = past.at(-1);
  const at = performance.now();
  // A drag that was broken off puts back what it set.
  const whole = (/** @type {string} */ what) => (pressed ? what.replace(/^(event .*) (true|false)$/, '$1') : what);
  const goesOn = last && whole(last.what) === whole(found.what) && !closed && (pressed || at - last.at < PAUSE_MS);
  // Samples and sessions bring labels and settings along, or take the place of what was there.
  const along = last && found.what === 'came' && /^(label|setting|went|rig)/.test(last.what) && last.gesture === gesture && at - last.at < ARRIVAL_MS;
  if (goesOn || along) {
    Object.assign(last, { ...found, after: now, at });
    safe = Math.min(safe, past.length - 1);
  } else past.push({ ...found, before: known, after: now, at, gesture });
  if (past.length > MOST_STEPS) {
    past.shift();
    safe -= 1;
  }
  future.length = 0;
  closed = false;
  known = now;
  forgetIdle();
}

/** Steps that come to nothing, such as a film that failed after all, are not offered. */
function forgetIdle() {
  for (let last = past.at(-1); last && !difference(last.before, last.after); last = past.at(-1)) past.pop();
  safe = Math.min(safe, past.length);
}

/** Makes the person's part what it was. @param {Made} to */
function restore(to) {
  const now = new Set(state.recordings);
  const rigged = state.rig !== to.rig;
  const all = !same(state.settings, to.settings);
  Object.assign(state.settings, to.settings);
  Object.assign(state.labels, to.labels);
  Object.assign(state.choice, to.choice);
  Object.assign(state.words, to.words);
  state.rig = to.rig;
  knowOnly(to.layouts);
  state.fault = '';
  const keep = new Set(to.recordings.map((k) => k.recording));
  for (const gone of now) {
    if (keep.has(gone)) continue;
    if (gone.held) void ask('forget', { id: gone.id }).catch(() => {});
    gone.held = false;
  }
  for (const { recording, set, given, filmed, aside, overruled, film, wired, rig, said, waits } of to.recordings) {
    const moved = !same([recording.given, recording.filmed], [given, filmed]);
    const rewired = !same([recording.wired?.text, recording.status === 'waiting'], [wired?.text, waits !== '']);
    // Where the step was made before it was read, it stays with what it was read with since.
    const rerigged = rig !== undefined && recording.rig?.text !== rig?.text;
    if (rerigged || waits !== '') recording.rig = rig;
    Object.assign(recording, { set, aside, overruled, film: bringBack(film), given: { ...given }, filmed: { ...filmed }, wired, said });
    if (waits !== '' && !(rigged && to.rig)) {
      // It asks again what it asked: reading it would only find that out anew, or what the browser remembers.
      if (recording.held) void ask('forget', { id: recording.id }).catch(() => {});
      Object.assign(recording, { status: 'waiting', problem: waits, held: false, stale: false, view: null });
    } else if (!now.has(recording) || rerigged || rewired) Object.assign(recording, { status: 'reading', held: false, stale: false });
    else if (moved || all) recording.stale = true;
  }
  state.recordings.splice(0, state.recordings.length, ...to.recordings.map((k) => k.recording));
  if (state.selected === null || ![...keep].some((r) => r.id === state.selected && r.status !== 'waiting')) {
    select(to.recordings.find((k) => k.recording.view)?.recording.id ?? null);
  }
  known = to;
  closed = true;
  changed();
  void readAll();
}

export function undo() {
  look();
  const step = past.pop();
  if (!step) return;
  future.push(step);
  restore(step.before);
  if (remembersOneOf(step.before.layouts, step.after.layouts)) {
    state.fault = 'The wiring is undone on this page; this browser still remembers it, as it was asked to: untick that in the Wiring to have it forgotten';
  }
  say(`Undone: ${step.words}`);
}

export function redo() {
  look();
  const step = future.pop();
  if (!step) return;
  past.push(step);
  restore(step.after);
  say(`Done again: ${step.words}`);
}

/** Whether there is work of a hand that nothing but this page holds. */
export function unsafe() {
  look();
  return safe > past.length || past.slice(Math.max(safe, 0)).some((step) => step.hand);
}

/** Everything up to now is kept somewhere else too. */
export function nowSafe() {
  look();
  safe = past.length;
}

/** There is nothing to undo before this. */
export function beginAnew() {
  past.length = 0;
  future.length = 0;
  safe = 0;
  known = made();
}

const said = make('p', { class: 'unseen', role: 'status', id: 'steps-said' });

/** @param {string} text */
function say(text) {
  said.textContent = text;
}

export function mountUndo() {
  const back = make('button', { type: 'button', id: 'undo', 'aria-keyshortcuts': 'Control+Z', onclick: undo });
  const on = make('button', { type: 'button', id: 'redo', 'aria-keyshortcuts': 'Control+Shift+Z', onclick: redo });
  const place = make('div', { class: 'steps', role: 'group', 'aria-label': 'Steps back and on', hidden: true }, back, on, said);
  document.querySelector('#tray .intake')?.after(place);
  known = made();
  onChange(() => {
    look();
    forgetIdle();
    place.hidden = past.length + future.length === 0;
    for (const [button, step, word] of /** @type {const} */ ([[back, past.at(-1), 'Undo'], [on, future.at(-1), 'Redo']])) {
      button.disabled = !step;
      button.textContent = step ? `${word} ${step.words}` : word;
    }
  });
  window.addEventListener('pointerdown', () => {
    look();
    [pressed, closed] = [true, true];
    gesture += 1;
  }, true);
  for (const kind of ['pointerup', 'pointercancel']) {
    window.addEventListener(kind, () => {
      // What the release itself does belongs to the press.
      setTimeout(() => {
        look();
        [pressed, closed] = [false, true];
      }, 0);
    }, true);
  }
  for (const kind of ['keydown', 'drop', 'paste']) window.addEventListener(kind, () => void (gesture += 1), true);
  window.addEventListener('keydown', (event) => {
    const z = event.key.toLowerCase() === 'z' && (event.ctrlKey || event.metaKey) && !event.altKey;
    const y = event.key.toLowerCase() === 'y' && event.ctrlKey && !event.altKey && !event.shiftKey;
    // A field that is typed in undoes its own letters; a dialog is finished first.
    const typing = event.target instanceof HTMLElement && event.target.matches('input[type="text"], textarea, [contenteditable]');
    if ((!z && !y) || typing || document.querySelector('dialog[open]')) return;
    if (y || event.shiftKey) redo();
    else undo();
    event.preventDefault();
  });
}
