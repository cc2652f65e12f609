// The film of a swing beside its charts: one clock, one cursor, frame by frame.

import { at, fixed, make, write } from './dom.js';
import { frame, measure, onFrame, seek, stay, step, video } from './film_frames.js';
import { doubts, isFilm, moveFilm, pace, place, rate, spoil, toFilm, toRecording, uneven } from './films.js';
import { changed, onChange, selected, shown, state } from './state.js';
import { give, select } from './work.js';

/** @typedef {import('./films.js').Film} Film */

const SETTABLE = /** @type {[string, string, string][]} */ ([['t', 'top', 'top'], ['a', 'arm_level', 'lead arm level'], ['i', 'impact', 'impact']]);

const steady = (/** @type {number} */ t) => Math.round(t * 10_000) / 10_000;
const ms = (/** @type {number} */ s) => `${fixed(s * 1000, s < 0.0095 ? 1 : 0)} ms`;

/** What the element plays; another film means another address. */
let playing = /** @type {Film | null} */ (null);
let loads = 0;
/** The cursor as the film last saw or set it. */
let seen = /** @type {number | null} */ (null);
/** The cursor leads and the film follows: its frames are coarser and must not pull the cursor. */
let led = false;
/** Films whose frames were looked at, however little came of it. */
const looked = /** @type {WeakSet<Film>} */ (new WeakSet());

const film = () => (state.show === 'recording' ? (selected()?.film ?? null) : null);

/** A frame is on screen. */
function arrived() {
  const now = film();
  if (!now || now !== playing || frame.measuring) return;
  const t = toRecording(now, frame.at_s);
  if (!led && t !== null && state.window) {
    const [from, to] = state.window;
    seen = steady(Math.min(Math.max(t, from), to));
    state.cursor = seen;
  }
  changed();
}

/** @param {number} frames */
function stepBy(frames) {
  const now = film();
  if (!now || frame.measuring) return;
  led = false;
  void step(now, frames);
}

/** @param {Film} of */
async function lookAt(of) {
  if (of.plays === null) looked.add(of);
  const mine = loads;
  await measure(of, () => loads === mine);
  if (loads !== mine) return;
  led = false;
  seen = null;
  changed();
}

/** Puts the film of the selected recording on screen, or none. */
function load() {
  const now = film();
  if (now === playing) {
    // A rate that was taken back before its frames were looked at.
    if (now && now.plays === null && !looked.has(now) && !frame.measuring && video.readyState > 0) void lookAt(now);
    return;
  }
  stay();
  loads += 1;
  frame.measuring = null;
  if (video.src) {
    URL.revokeObjectURL(video.src);
    video.removeAttribute('src');
    video.load();
  }
  playing = now;
  [frame.at_s, seen, led] = [0, null, false];
  if (!now) return;
  video.onerror = () => {
    if (playing === now && video.src) spoil(now, video.error);
  };
  video.onloadedmetadata = () => {
    if (playing === now) void lookAt(now);
  };
  video.src = URL.createObjectURL(now.blob);
}

/** @param {string} id */
function setEvent(id) {
  const now = film();
  const frames = now && rate(now);
  const doubt = now && doubts(now);
  const t = now && toRecording(now, frame.at_s);
  if (!now || !frames || !doubt?.event || t === null) return;
  const view = shown();
  const x = view?.columns[view.bench.x];
  if (!x || t < x[0] || t > x[x.length - 1]) {
    state.fault = `${now.name}: this frame is ${fixed(t ?? 0, 3)} s on the recording’s clock, which runs from ${fixed(x?.[0] ?? 0, 3)} to ${fixed(x?.[x.length - 1] ?? 0, 3)} s; line the film up again`;
    changed();
    return;
  }
  give(id, steady(t), { uncertainty_s: doubt.event, frames_per_s: frames });
}

/** This frame is the moment under the cursor, or an event. @param {string} what */
function share(what) {
  const now = film();
  const view = shown();
  if (!now || !view) return;
  const event = view.bench.events.find((e) => e.id === what);
  const x = view.columns[view.bench.x];
  const moment = event ? event.t_s : state.cursor;
  if (moment === null) return;
  now.shared = {
    film_s: frame.at_s,
    recording_s: moment,
    doubt_s: event && event.source !== 'given' ? event.uncertainty_s : (x[1] - x[0]) / 2,
    words: event ? `${event.label}${event.source === 'estimated' ? ', estimated' : ''}` : 'the moment under the cursor',
  };
  led = false;
  seen = moment;
  state.cursor = moment;
  changed();
}

/** @param {string} id @param {string} label @param {(value: number | null) => void} chosen */
function frames(id, label, chosen) {
  const input = make('input', { id, type: 'text', inputmode: 'decimal', 'aria-describedby': `${id}-fault` });
  const fault = make('span', { id: `${id}-fault`, class: 'fault', role: 'alert' });
  input.addEventListener('change', () => {
    const text = input.value.trim().replace(',', '.');
    const value = text === '' ? null : Number(text);
    const fits = value === null || (value >= 1 && value <= 20_000);
    input.setAttribute('aria-invalid', String(!fits));
    fault.textContent = fits ? '' : 'expected frames a second from 1 to 20 000, or nothing';
    if (fits) chosen(value);
  });
  return { input, field: make('div', { class: 'film-rate' }, make('label', { for: id }, label), input, fault) };
}

/** @param {Film} now */
function rateWords(now) {
  if (frame.measuring) return 'Looking at its frames…';
  if (!now.plays) return 'How many frames a second it plays could not be seen: say it here.';
  const frames = fixed(rate(now) ?? 0, 2).replace(/\.?0+$/, '');
  const slow = pace(now) === 1 ? '' : `; one second of film is ${fixed(pace(now), 3)} s of the swing`;
  const gap = uneven(now);
  const evenly = gap === null ? '' : `. They come unevenly, up to ${ms(gap)} apart`;
  const sure = ms(doubts(now)?.half ?? 0);
  return `${frames} frames a second of the swing, ${now.measured && !now.filmed ? 'measured' : 'as you say'}${slow}${evenly}: a frame shows an instant to ± ${sure}.`;
}

/** @param {Film} now */
function sharedWords(now) {
  if (!now.shared) return 'Not lined up yet: find the same instant in both, then say that they are one.';
  const doubt = doubts(now);
  const sure = doubt?.shared && doubt.event ? ` ± ${ms(doubt.shared)}. An event set from a frame is good to ± ${ms(doubt.event)}` : '';
  return `Lined up by ${now.shared.words}: ${fixed(now.shared.film_s, 3)} s of film is ${fixed(now.shared.recording_s, 3)} s of the recording${sure}.`;
}

export function mountFilm() {
  const input = make('input', { type: 'file', accept: 'video/*,.mp4,.m4v,.webm,.mov', hidden: true });
  const button = (/** @type {string} */ text, /** @type {() => void} */ act, /** @type {Record<string, string>} */ more = {}) =>
    make('button', { type: 'button', onclick: act, ...more }, text);
  const add = button('Film of this swing…', () => input.click(), { id: 'film-add' });
  input.addEventListener('change', () => {
    const recording = selected();
    const file = input.files?.[0];
    if (file && recording) {
      if (isFilm({ name: file.name, blob: file })) void place({ name: file.name, blob: file }, recording);
      else state.fault = `${file.name}: expected a film (MP4, WebM, MOV); drop recordings on the page instead`;
    }
    input.value = '';
    changed();
  });
  const now = make('p', { id: 'film-now', class: 'value' });
  const said = make('p', { class: 'sentence-small', role: 'status' });
  const rates = make('p', { class: 'sentence-small', id: 'film-rates' });
  const play = button('Play', () => {
    led = false;
    if (video.paused) void video.play().catch(() => {});
    else video.pause();
  });
  const slider = make('input', { type: 'range', min: '0', max: '1', step: 'any', 'aria-label': 'Position in the film' });
  slider.addEventListener('input', () => {
    led = false;
    seek(Number(slider.value));
  });
  const lined = make('select', { id: 'film-shared', 'aria-label': 'Which moment this frame is' });
  const line = button('This frame is it', () => share(lined.value), { id: 'film-line' });
  const plays = frames('film-plays', 'plays, frames/s', (value) => {
    const one = film();
    if (!one) return;
    if (value === null) [one.plays, one.measured] = [one.found, one.found !== null];
    else [one.plays, one.measured] = [value, false];
    changed();
  });
  const filmed = frames('film-filmed', 'filmed at, frames/s', (value) => {
    const one = film();
    if (one) one.filmed = value;
    changed();
  });
  const sets = SETTABLE.map(([key, id, label]) => button(`${label}`, () => setEvent(id), { 'data-sets': id, 'aria-keyshortcuts': key, 'aria-label': `This frame is ${label === 'impact' ? 'impact' : `the moment of ${label}`}` }));
  const owner = make('select', { id: 'film-of', onchange: () => {
    const [from, to] = [selected(), state.recordings.find((r) => String(r.id) === owner.value)];
    if (!from || !to) return;
    moveFilm(from, to);
    select(to.id);
  } });
  const whose = make('div', { class: 'film-row' }, make('label', { for: 'film-of' }, 'It shows'), owner);
  const controls = make(
    'div',
    { class: 'film-controls' },
    slider,
    make(
      'div',
      { class: 'film-row', role: 'group', 'aria-label': 'Move through the film' },
      button('‹ frame', () => stepBy(-1), { 'aria-keyshortcuts': ',', 'aria-label': 'Previous frame' }),
      play,
      button('frame ›', () => stepBy(1), { 'aria-keyshortcuts': '.', 'aria-label': 'Next frame' }),
      now,
    ),
    make('div', { class: 'film-row' }, make('label', { for: 'film-shared' }, 'This frame is'), lined, line),
    said,
    make('div', { class: 'film-row', role: 'group', 'aria-label': 'Set an event from this frame' }, make('span', {}, 'Set from it'), ...sets),
    make(
      'details',
      { class: 'film-more' },
      make('summary', {}, 'Frames a second'),
      make('div', { class: 'film-rates' }, plays.field, filmed.field),
      make('p', { class: 'hint' }, 'A slow-motion file plays at one rate and was filmed at another, for instance filmed at 240 and plays at 30. Leave “filmed at” empty when it plays as fast as it happened.'),
    ),
    rates,
    whose,
    button('Remove the film', () => {
      const recording = selected();
      if (recording) recording.film = null;
      add.hidden = false;
      add.focus();
      changed();
    }, { class: 'quiet', id: 'film-remove' }),
  );
  const title = make('h3', { id: 'film-title', tabindex: '-1' }, 'Film');
  const hint = make('p', { class: 'hint' }, 'It stays in this page and is in no link. Or drop it on the page.');
  const panel = make('section', { id: 'film', class: 'film', 'aria-labelledby': 'film-title', hidden: true }, title, input, add, hint);
  at('events', HTMLDivElement).before(panel);

  for (const kind of ['play', 'pause', 'ended']) video.addEventListener(kind, changed);
  video.addEventListener('click', () => play.click());
  onFrame(arrived);

  // Inside the film its own letters count; a field that is typed in keeps them.
  panel.addEventListener('keydown', (event) => {
    const typing = event.target instanceof HTMLElement && event.target.matches('input[type="text"], select');
    if (typing || event.ctrlKey || event.metaKey || event.altKey || !film()) return;
    const set = SETTABLE.find(([key]) => key === event.key);
    if (!set) return;
    setEvent(set[1]);
    event.preventDefault();
    event.stopPropagation();
  });

  let options = '';
  let owned = '';
  onChange(() => {
    const recording = state.show === 'recording' ? selected() : null;
    panel.hidden = !recording?.view;
    load();
    const one = film();
    if (one && !video.isConnected) panel.append(video, controls);
    else if (!one && video.isConnected) for (const element of [video, controls]) element.remove();
    for (const element of [add, hint]) element.hidden = one !== null;
    write(title, one ? `Film, ${one.name}` : 'Film');
    if (!one) return;
    video.setAttribute('aria-label', `Film ${one.name}`);
    if (state.cursor !== seen && one.shared && !frame.measuring) {
      // The cursor moved: the film follows to the frame that was showing then.
      seen = state.cursor;
      led = true;
      if (!video.paused) video.pause();
      const there = toFilm(one, state.cursor ?? 0);
      if (there !== null) seek(there + 0.0005);
    }
    const t = toRecording(one, frame.at_s);
    write(now, `${fixed(frame.at_s, 3)} s of film${t === null ? '' : `, ${fixed(t, 3)} s`}`);
    write(play, video.paused ? 'Play' : 'Pause');
    slider.max = String(Number.isFinite(video.duration) ? video.duration : 1);
    slider.value = String(frame.at_s);
    slider.setAttribute('aria-valuetext', `${fixed(frame.at_s, 3)} seconds of film`);
    const moments = [['cursor', `at the cursor, ${fixed(state.cursor ?? 0, 3)} s`], ...(shown()?.bench.events ?? []).map((e) => [e.id, e.text])];
    const listed = JSON.stringify(moments.slice(1));
    if (listed !== options) {
      options = listed;
      const before = lined.value;
      lined.replaceChildren(...moments.map(([value, text]) => make('option', { value }, text)));
      if (moments.some(([value]) => value === before)) lined.value = before;
    } else write(/** @type {Element} */ (lined.firstElementChild), moments[0][1]);
    const owners = state.recordings.filter((r) => r.view);
    whose.hidden = owners.length < 2;
    const named = JSON.stringify(owners.map((r) => [r.id, r.name]));
    if (named !== owned) {
      owned = named;
      owner.replaceChildren(...owners.map((r) => make('option', { value: String(r.id) }, r.name)));
    }
    owner.value = String(state.selected);
    write(said, sharedWords(one));
    write(rates, rateWords(one));
    line.disabled = frame.measuring !== null;
    const able = Boolean(doubts(one)?.event) && !frame.measuring;
    for (const set of sets) set.disabled = !able;
    for (const [{ input: place }, value] of /** @type {const} */ ([[plays, one.plays], [filmed, one.filmed]])) {
      if (document.activeElement !== place && place.getAttribute('aria-invalid') !== 'true') place.value = value === null ? '' : String(value);
    }
  });
}

/** Keys that work anywhere on the page: to the film, one frame back, one on. */
export const filmKeys = {
  f: () => (film() ? video : /** @type {HTMLElement | null} */ (document.querySelector('#film:not([hidden]) #film-add')))?.focus(),
  ',': () => stepBy(-1),
  '.': () => stepBy(1),
};
