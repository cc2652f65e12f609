// Films of swings: whose they are, how their clock runs against the recording's, and how sure that is.

import { changed, state } from './state.js';

/**
 * @typedef {object} Film
 * @property {string} name
 * @property {Blob} blob  stays in this page; no link holds it
 * @property {number | null} plays  frames a second of the file as it plays; null until measured or stated
 * @property {boolean} measured  the rate was measured from the frames
 * @property {number | null} filmed  frames a second at which it was filmed, when that is another
 * @property {{film_s: number, recording_s: number, doubt_s: number, words: string} | null} shared
 *   one instant on both clocks; `doubt_s` is how well the recording's side of it is known
 */

const NAMES = /\.(mp4|m4v|webm|mov|ogv|mkv|avi)$/i;

/** Whether a file is a film, by what the system says of it or by its name. @param {{name: string, blob: Blob}} file */
export const isFilm = ({ name, blob }) => blob.type.startsWith('video/') || NAMES.test(name);

/** @param {string} name */
const stem = (name) => name.replace(/\.[^.]*$/, '').toLowerCase();

/**
 * Puts a film beside the recording of the same name, else beside the one it came with, else beside the one looked at.
 * @param {{name: string, blob: Blob}} file
 * @param {import('./state.js').Recording[]} together  recordings that came with it
 */
export function attach({ name, blob }, together) {
  const same = state.recordings.find((r) => stem(r.name) === stem(name));
  const only = together.length === 1 ? together[0] : null;
  const recording = same ?? only ?? state.recordings.find((r) => r.id === state.selected);
  if (!recording) {
    state.fault = `${name}: a film needs the recording of its swing, expected one in the Tray; drop the recording, then the film`;
    changed();
    return;
  }
  recording.film = { name, blob, plays: null, measured: false, filmed: null, shared: null };
  changed();
}

/** Seconds that passed in one second of film. @param {Film} film */
export const pace = (film) => (film.plays && film.filmed ? film.plays / film.filmed : 1);

/** Frames in a second that passed. @param {Film} film */
export const rate = (film) => film.filmed ?? film.plays;

/** The instant on the recording's clock that the film shows at `film_s`. @param {Film} film @param {number} film_s */
export function toRecording(film, film_s) {
  return film.shared ? film.shared.recording_s + (film_s - film.shared.film_s) * pace(film) : null;
}

/** Where the film shows an instant of the recording. @param {Film} film @param {number} recording_s */
export function toFilm(film, recording_s) {
  return film.shared ? film.shared.film_s + (recording_s - film.shared.recording_s) / pace(film) : null;
}

/**
 * Half-widths, seconds: of the shared instant (half a frame, and how well the recording's side of it is known), and of
 * an event set from a frame (half a frame more). They are added, not combined by squares: both may be off the same way.
 * @param {Film} film
 */
export function doubts(film) {
  const frames = rate(film);
  if (!frames || !film.shared) return null;
  const half = 0.5 / frames;
  return { half, shared: half + film.shared.doubt_s, event: half + half + film.shared.doubt_s };
}

/**
 * Frames a second from the instants of frames that were shown, some of them perhaps skipped.
 * @param {number[]} instants  ascending, seconds
 */
export function rateOf(instants) {
  const gaps = instants.slice(1).map((t, i) => t - instants[i]).filter((gap) => gap > 0);
  if (gaps.length < 4) return null;
  const middle = [...gaps].sort((a, b) => a - b)[Math.floor(gaps.length / 2)];
  const frames = gaps.reduce((sum, gap) => sum + Math.max(Math.round(gap / middle), 1), 0);
  const length = gaps.reduce((sum, gap) => sum + gap, 0);
  return Math.round((frames / length) * 100) / 100;
}
