// The frames of a film: which is on screen, the one after and the one before it, how far they are apart.
//
// Nothing here trusts a rate: films of telephones leave frames out and come unevenly. A frame is where the browser says
// that it shows one, and the next is looked for in strides no longer than frames are apart, so that none is passed over.

import { make } from './dom.js';
import { rateOf } from './films.js';
import { changed } from './state.js';

/** @typedef {import('./films.js').Film} Film */

/** Frames to look at before the rate is believed, and how long to wait for them. */
const FRAMES = 30;
const PATIENCE_MS = 6000;
/** How long after a seek its picture may take; without one the frame is the same as before. */
const PICTURE_MS = 250;
const PICTURE_DRAWINGS = 6;
/** Steps that may wait: a held key must not run on after it is let go. */
const MOST_OWED = 4;
/** Gaps that differ by less than this come of rounding to milliseconds. */
const EVEN = 1.3;
/** Strides after which the next frame is given up: a file may say that it is longer than its pictures. */
const MOST_STRIDES = 200;

export const video = make('video', { playsinline: true, preload: 'auto', tabindex: '0', 'aria-describedby': 'film-now' });
video.muted = true;

const callsBack = 'requestVideoFrameCallback' in video;

/** The instant of the frame on screen, seconds of film; the film whose frames are being looked at. */
export const frame = { at_s: 0, measuring: /** @type {Film | null} */ (null) };

let arrived = () => {};
let wanted = /** @type {number | null} */ (null);
/** Counts what the film was last told: an older walk ends. */
let turn = 0;
/** The turn of the walk that goes on; it is reported when it has come where it goes. */
let walking = -1;
/** Whether the picture of the last seek is still awaited. */
let awaited = false;
let owed = 0;

/** @param {() => void} act called whenever a frame is on screen */
export function onFrame(act) {
  arrived = act;
  video.addEventListener('seeked', () => {
    if (!callsBack) {
      frame.at_s = /** @type {HTMLVideoElement} */ (video).currentTime;
      arrived();
    }
    void pass(2, 0).then(() => {
      if (!video.seeking) awaited = false;
      showSeeking();
    });
    hurry();
  });
  if (!callsBack) return;
  const next = () =>
    video.requestVideoFrameCallback((_, { mediaTime }) => {
      if (video.src) {
        frame.at_s = mediaTime;
        if (walking !== turn) arrived();
      }
      next();
    });
  next();
}

/** Ends every walk. */
export function stay() {
  turn += 1;
  [walking, owed, wanted] = [-1, 0, null];
}

const end = () => (Number.isFinite(video.duration) ? video.duration : Infinity);

/** @param {number} film_s */
export function seek(film_s) {
  stay();
  wanted = Math.min(Math.max(film_s, 0), end());
  if (!video.seeking) hurry();
}

/** The newest wish only: a dragged cursor asks faster than a film can seek. */
function hurry() {
  if (wanted === null) return;
  go(wanted);
  wanted = null;
}

/** `data-seeking` while what is on screen is not yet what was asked for. */
const showSeeking = () => void video.toggleAttribute('data-seeking', awaited || walking === turn);

/** @param {number} film_s */
function go(film_s) {
  awaited = true;
  showSeeking();
  video.currentTime = Math.min(Math.max(film_s, 0), end());
}

/** Resolves when the page was drawn so often, and some time has passed: a busy browser is slow at both. @param {number} drawings @param {number} ms */
async function pass(drawings, ms) {
  await new Promise((done) => setTimeout(done, ms));
  for (let i = 0; i < drawings; i += 1) await new Promise((done) => requestAnimationFrame(done));
}

/** Goes to an instant and waits for its picture. @param {number} film_s @returns {Promise<number>} the instant of the frame shown there */
async function look(film_s) {
  const before = frame.at_s;
  const sought = new Promise((done) => video.addEventListener('seeked', done, { once: true }));
  // The frame from before that is reported while it still seeks says nothing.
  const seen = new Promise((done) => {
    const next = () => callsBack && video.requestVideoFrameCallback((_, { mediaTime }) => (video.seeking && mediaTime === before ? next() : done(mediaTime)));
    next();
  });
  go(film_s);
  await sought;
  if (!callsBack) return video.currentTime;
  return Promise.race([seen, pass(PICTURE_DRAWINGS, PICTURE_MS).then(() => frame.at_s)]);
}

/** One frame on or back. @param {Film} film @param {number} by @param {number} mine */
async function walk(film, by, mine) {
  const from = frame.at_s;
  const still = () => mine === turn;
  const stride = Math.min(film.gaps_s?.[0] ?? Infinity, 1 / (film.plays ?? 30));
  if (by > 0) {
    const next = await after(from, stride, still);
    if (next && still()) learn(film, [from, next.at_s]);
    return;
  }
  if (from <= 0) return;
  const by_s = from - Math.min(stride / 2, 0.01);
  let last = { at_s: await look(by_s), by_s };
  if (!film.gaps_s || film.gaps_s[1] < EVEN * film.gaps_s[0]) return;
  // Among frames that come unevenly it may be an earlier one: on again, as far as the one before.
  for (;;) {
    const next = await after(last.at_s, stride, still);
    if (!next || next.at_s >= from || !still()) break;
    last = next;
  }
  if (still()) await look(last.by_s);
}

/**
 * The frame after another, in strides no longer than any two are apart. A browser may go on showing a frame although the
 * next has begun, when its guess of how long the frame lasts is too long; it never shows one that has not begun.
 * @param {number} from @param {number} stride @param {() => boolean} still
 * @returns {Promise<{at_s: number, by_s: number} | null>} its instant, and where to go for it; null at the end
 */
async function after(from, stride, still) {
  // Half a stride inside, so that rounding cannot show the neighbour.
  const first = callsBack ? 1.5 : 1;
  for (let k = first; still() && k < MOST_STRIDES; k += 1) {
    const by_s = from + k * stride;
    const at_s = await look(by_s);
    if (at_s > from) return k === first ? { at_s, by_s } : nearest(from, { at_s, by_s }, stride);
    if (by_s >= end()) return null;
  }
  return null;
}

/**
 * The first frame after another, when a later one is known: what was shown late may have been passed over.
 * @param {number} from @param {{at_s: number, by_s: number}} later @param {number} stride
 */
async function nearest(from, later, stride) {
  let next = later;
  for (;;) {
    const by_s = next.at_s - Math.min(stride / 2, 0.01);
    const at_s = await look(by_s);
    if (at_s <= from || at_s >= next.at_s) break;
    next = { at_s, by_s };
  }
  await look(next.by_s);
  return next;
}

/** Keeps how far frames that follow each other are apart. @param {Film} film @param {number[]} instants */
function learn(film, instants) {
  const gaps = instants.slice(1).map((t, i) => t - instants[i]);
  const [least, most] = film.gaps_s ?? [Infinity, 0];
  film.gaps_s = [Math.min(least, ...gaps), Math.max(most, ...gaps)];
}

/** So many frames on, or back. @param {Film} film @param {number} frames */
export async function step(film, frames) {
  video.pause();
  const goesOn = walking === turn;
  if (!goesOn) stay();
  owed = Math.min(Math.max(owed + frames, -MOST_OWED), MOST_OWED);
  if (goesOn) return;
  const mine = (walking = turn);
  while (mine === turn && owed !== 0) {
    const by = Math.sign(owed);
    owed -= by;
    await walk(film, by, mine);
    if (mine !== turn) return;
    arrived();
  }
  stay();
  showSeeking();
}

/** The browser's own length of a film that was written as it was filmed is not known until its end was sought. */
async function settleLength() {
  if (Number.isFinite(video.duration)) return;
  await look(1e7);
  await look(0);
}

/**
 * The instants of its first frames, as far as the browser shows them while it plays.
 * @param {number} speed @param {() => boolean} still
 */
async function watch(speed, still) {
  const instants = /** @type {number[]} */ ([]);
  await new Promise((resolve) => {
    const enough = window.setTimeout(resolve, PATIENCE_MS);
    const next = () =>
      video.requestVideoFrameCallback((_, { mediaTime }) => {
        if (mediaTime > (instants.at(-1) ?? -1)) instants.push(mediaTime);
        if (instants.length <= FRAMES && still()) next();
        else {
          window.clearTimeout(enough);
          resolve(undefined);
        }
      });
    next();
    video.addEventListener('ended', resolve, { once: true });
    video.playbackRate = speed;
    video.play().catch(resolve);
  });
  video.pause();
  video.playbackRate = 1;
  // The last frames may come late.
  await pass(3, 60);
  return instants;
}

/** Whether even the narrowest gap hides a frame: screens show no more than sixty a second or so. @param {number[]} instants */
async function hides(instants) {
  const gaps = instants.slice(1).map((t, i) => t - instants[i]);
  const narrowest = gaps.indexOf(Math.min(...gaps));
  if (narrowest < 0) return false;
  const there = await look(instants[narrowest] + gaps[narrowest] * 0.75);
  return there > instants[narrowest];
}

/**
 * The same frames one by one, when they seem to come unevenly: what a busy browser left out is no gap of the film.
 * @param {number[]} instants @param {() => boolean} still
 */
async function oneByOne(instants, still) {
  const gaps = instants.slice(1).map((t, i) => t - instants[i]);
  const [least, most] = [Math.min(...gaps), Math.max(...gaps)];
  if (gaps.length === 0 || most < EVEN * least) return instants;
  await look(0);
  const all = [instants[0]];
  while (all.length <= FRAMES && still()) {
    const next = await after(all[all.length - 1], least, still);
    if (next === null) break;
    all.push(next.at_s);
  }
  return all;
}

/**
 * Sees how far a film's frames are apart, unless its rate is known; then shows its first.
 * @param {Film} film @param {() => boolean} still whether it is still the one on screen
 */
export async function measure(film, still) {
  frame.measuring = film;
  stay();
  changed();
  try {
    await settleLength();
    if (film.plays === null && callsBack) {
      let instants = await watch(1, still);
      if (still() && (await hides(instants))) {
        await look(0);
        instants = await watch(0.2, still);
      }
      if (still()) instants = await oneByOne(instants, still);
      if (still() && instants.length > 1) {
        learn(film, instants);
        film.found = rateOf(instants);
        if (film.plays === null) [film.plays, film.measured] = [film.found, film.found !== null];
      }
    }
  } finally {
    if (still()) {
      frame.measuring = null;
      seek(0);
      changed();
    }
  }
}
