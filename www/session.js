// The session: kept in this browser when the person wants it, saved to a file, opened again; asked about on leaving.

import { make } from './dom.js';
import { ask } from './engine.js';
import { revive } from './films.js';
import { save } from './save.js';
import * as file from './session_file.js';
import { changed, EVERY, onChange, state } from './state.js';
import * as store from './session_store.js';
import { beginAnew, nowSafe, unsafe } from './undo.js';
import { wiringBegun } from './wiring.js';
import { enter, onSession, readAll, select } from './work.js';

const REST_MS = 400;

let keeping = false;
let withFilms = false;
let says = '';
let fault = '';
let timer = 0;
let written = '';
let writing = Promise.resolve();

const sentence = (/** @type {unknown} */ error) => (error instanceof Error ? error.message : String(error));

/** What tells two states of a session apart; blobs never change. */
function mark() {
  const { recordings, rig, ...rest } = file.session(withFilms);
  const parts = recordings.map(({ blob, film, ...part }) => ({ ...part, size: blob.size, film: film && { ...film, blob: film.blob.size } }));
  return JSON.stringify({ ...rest, rig: rig?.name, parts });
}

/** Puts a session in the place of what is there. @param {import('./session_file.js').Session} session */
async function restore(session) {
  const rig = session.rig && { name: session.rig.name, bytes: new Uint8Array(await session.rig.blob.arrayBuffer()), beside: session.rigs_beside ?? [] };
  // From here to the reading nothing waits: it is one step back.
  for (const { held, id } of state.recordings.splice(0)) if (held) void ask('forget', { id }).catch(() => {});
  // A session kept before there was the setting had its default.
  Object.assign(state.settings, { load_threshold_n: null }, session.settings);
  Object.assign(state.labels, session.labels);
  Object.assign(state.choice, session.choice);
  Object.assign(state.words, session.words);
  Object.assign(state, { rig, selected: null, show: 'recording', fault: '' });
  enter(session.recordings.map(({ name, blob, set, given, filmed, aside, film, overruled = false, overruled_stops: stops = overruled ? [EVERY] : [], swing = null, others = [], wired = null, rig: own }) => ({ name, blob, set, made: { given, filmed, aside, film: revive(film), overruled: stops, swing, others, wired, rig: own } })));
  changed();
  await readAll();
  const chosen = state.recordings[session.selected];
  if (chosen?.status === 'ready') select(chosen.id);
}

/** @param {string} name @param {Blob} blob */
async function openFile(name, blob) {
  try {
    const session = await file.read(name, blob);
    await restore(session);
    nowSafe();
    says = `Opened ${name}: ${count(session.recordings.length)}`;
    fault = '';
  } catch (error) {
    fault = sentence(error);
  }
  changed();
}

const count = (/** @type {number} */ n) => `${n} recording${n === 1 ? '' : 's'}`;

async function saveFile() {
  try {
    const text = await file.write(file.session(withFilms));
    const day = new Date().toISOString().slice(0, 10);
    save(new Blob([text], { type: 'application/json' }), `session-${day}.footing.json`);
    nowSafe();
    says = `Saved ${count(state.recordings.filter((r) => r.status !== 'refused').length)} to a file`;
    fault = '';
  } catch (error) {
    fault = `The session cannot be saved: ${sentence(error)}; is one of its files gone from the disk? Drop it again`;
  }
  changed();
}

/** Writes what is there now, after what is being written. */
function put() {
  window.clearTimeout(timer);
  timer = 0;
  writing = writing.then(async () => {
    const now = mark();
    if (!keeping || now === written) return;
    try {
      await store.keep(file.session(withFilms));
      written = now;
      if (mark() === now) nowSafe();
      fault = '';
    } catch (error) {
      keeping = false;
      fault = `The browser does not keep the session (${sentence(error)}); save it to a file instead`;
    }
    changed();
  });
}

/** Only one open page may keep: two would overwrite each other. Resolves to false when another does. @returns {Promise<boolean>} */
async function alone() {
  if (!navigator.locks) return true;
  try {
    return await new Promise((done, fail) => {
      navigator.locks
        .request('footing-session', { ifAvailable: true }, (lock) => {
          done(lock !== null);
          // Held until the person forgets the session or the page closes.
          return lock === null ? undefined : new Promise((release) => { letGo = () => release(undefined); });
        })
        .catch(fail);
    });
  } catch {
    // A page opened from the disk may have no locks; it then keeps without them.
    return true;
  }
}

let letGo = () => {};

async function start() {
  if (!(await alone())) {
    fault = 'Another open page of this browser keeps its session; close it, or save this one to a file';
    changed();
    return;
  }
  keeping = true;
  written = '';
  // Asked once, here, where the person said what it is for.
  await navigator.storage?.persist?.().catch(() => false);
  put();
  changed();
}

async function forget() {
  keeping = false;
  letGo();
  window.clearTimeout(timer);
  await writing;
  try {
    await store.forget();
    says = 'The browser has forgotten it; what is on the page stays until you close it';
    fault = '';
  } catch (error) {
    fault = `The browser could not forget it (${sentence(error)}); clear this site’s data in the browser’s settings`;
  }
  changed();
}

/** Takes up what this browser kept. */
async function takeUp() {
  try {
    const session = await store.kept();
    if (!session) return;
    if (!(await alone())) {
      fault = 'Another open page of this browser shows the kept session; this one starts empty and keeps nothing';
      changed();
      return;
    }
    withFilms = session.recordings.some((r) => r.film !== null);
    // What was dropped meanwhile stays.
    if (state.recordings.length === 0) await restore(session);
    keeping = true;
    says = `Taken up where it was left: ${count(session.recordings.length)}`;
    beginAnew();
    put();
  } catch (error) {
    fault = `The session kept in this browser cannot be opened (${sentence(error)}); open a session file, or drop the recordings again`;
  }
  changed();
}

/** @returns {Promise<void>} when a kept session is on the page */
export function mountSession() {
  const input = make('input', { type: 'file', accept: '.json,application/json', hidden: true, id: 'session-input' });
  input.addEventListener('change', () => {
    const chosen = input.files?.[0];
    if (chosen) void openFile(chosen.name, chosen);
    input.value = '';
  });
  const keep = make('input', { type: 'checkbox', id: 'session-keep', 'aria-describedby': 'session-means', onchange: () => void (keep.checked ? start() : forget()) });
  const films = make('input', { type: 'checkbox', id: 'session-films', onchange: () => {
    withFilms = films.checked;
    changed();
  } });
  const drop = make('button', { type: 'button', id: 'session-forget', onclick: () => {
    void forget();
    keep.focus();
  } }, 'Forget it');
  const saving = make('button', { type: 'button', id: 'session-save', onclick: () => void saveFile() }, 'Save session to a file');
  const said = make('p', { class: 'hint', role: 'status', id: 'session-says' });
  const failed = make('p', { class: 'session-says', role: 'alert', id: 'session-fault' });
  const filmsLine = make('label', { for: 'session-films' }, films, 'The films too');
  const place = make(
    'section',
    { class: 'session', 'aria-labelledby': 'session-title' },
    make('h3', { id: 'session-title' }, 'Session'),
    input,
    make('label', { for: 'session-keep' }, keep, 'Keep this session in this browser'),
    filmsLine,
    make('p', { class: 'hint', id: 'session-means' }, 'It then stays in this browser on this computer until you or the browser clears it: the browser may delete it when space runs short, and others who use this computer can see it. Save a file to be sure.'),
    drop,
    saving,
    make('button', { type: 'button', id: 'session-open', onclick: () => input.click() }, 'Open a session file…'),
    said,
    failed,
  );
  document.querySelector('#tray')?.append(place);
  onSession(openFile);
  onChange(() => {
    keep.checked = keeping;
    drop.hidden = !keeping;
    films.checked = withFilms;
    filmsLine.hidden = !state.recordings.some((r) => r.film);
    saving.disabled = !state.recordings.some((r) => r.status !== 'refused');
    if (said.textContent !== says) said.textContent = says;
    place.dataset.kept = keeping && mark() === written ? 'yes' : 'no';
    if (failed.textContent !== fault) failed.textContent = fault;
    failed.hidden = fault === '';
    if (keeping && timer === 0) timer = window.setTimeout(put, REST_MS);
  });
  window.addEventListener('beforeunload', (event) => {
    if (!unsafe() && !wiringBegun()) return;
    put();
    event.preventDefault();
  });
  // A page that shows a link has no session of its own.
  return /^#f\d+[=:]/i.test(location.hash) ? Promise.resolve() : takeUp();
}
