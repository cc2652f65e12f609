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
const PICTURE_MS = 3000;
/** Steps that may wait: a held key must not run on after it is let go. */
const MOST_OWED = 4;
/** Gaps that are looked into for a frame that the browser left out while playing. */
const MOST_GAPS = 40;
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
let walking = 0;
let owed = 0;

/** @param {() => void} act called whenever a frame is on screen */
export function onFrame(act) {
  arrived = act;
  video.addEventListener('seeked', () => {
    if (!callsBack) {
      frame.at_s = /** @type {HTMLVideoElement} */ (video).currentTime;
      arrived();
    }
    hurry();
  });
  if (!callsBack) return;
  const next = () =>
    video.requestVideoFrameCallback((_, { mediaTime }) => {
      if (video.src) {
        frame.at_s = mediaTime;
        arrived();
      }
      next();
    });
  next();
}

/** Ends every walk. */
export function stay() {
  turn += 1;
  [walking, owed, wanted] = [0, 0, null];
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
  video.currentTime = wanted;
  wanted = null;
}

/** Goes to an instant and waits for its picture. @param {number} film_s @returns {Promise<number>} the instant of the frame shown there */
async function look(film_s) {
  const sought = new Promise((done) => video.addEventListener('seeked', done, { once: true }));
  let late = 0;
  // What is reported while it still seeks is the frame before.
  const seen = new Promise((done) => {
    const next = () => callsBack && video.requestVideoFrameCallback((_, { mediaTime }) => (video.seeking ? next() : done(mediaTime)));
    next();
  });
  video.currentTime = Math.min(Math.max(film_s, 0), end());
  await sought;
  if (!callsBack) return video.currentTime;
  const same = new Promise((done) => {
    late = window.setTimeout(() => done(frame.at_s), PICTURE_MS);
  });
  const at_s = await Promise.race([seen, same]);
  window.clearTimeout(late);
  return at_s;
}

/** One frame on or back. @param {Film} film @param {number} by @param {number} mine */
async function walk(film, by, mine) {
  const from = frame.at_s;
  const stride = Math.min(film.gaps_s?.[0] ?? Infinity, 1 / (film.plays ?? 30));
  if (by < 0) {
    // Just before this frame is the one before, however far that is.
    if (from > 0) await look(from - Math.min(stride / 2, 0.01));
    return;
  }
  // Half a stride inside, so that rounding cannot show the neighbour.
  for (let k = callsBack ? 1.5 : 1; mine === turn && k < MOST_STRIDES; k += 1) {
    const there = await look(from + k * stride);
    if (mine !== turn) return;
    if (there > from) {
      learn(film, [from, there]);
      return;
    }
    if (from + k * stride >= end()) return;
  }
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
  }
  if (mine === turn) stay();
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

/** Looks into wide gaps: what a busy browser left out is no gap of the film. @param {number[]} instants */
async function fill(instants) {
  const empty = /** @type {Set<number>} */ (new Set());
  for (let looks = 0; looks < MOST_GAPS; looks += 1) {
    const gaps = instants.slice(1).map((t, i) => t - instants[i]);
    const middle = [...gaps].sort((a, b) => a - b)[Math.floor(gaps.length / 2)];
    const wide = gaps.findIndex((gap, i) => gap > 1.5 * middle && !empty.has(instants[i]));
    if (wide < 0) return;
    const there = await look(instants[wide + 1] - middle / 2);
    if (there > instants[wide] && there < instants[wide + 1]) instants.splice(wide + 1, 0, there);
    else empty.add(instants[wide]);
  }
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
      if (still()) await fill(instants);
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
