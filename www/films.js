// Films of swings: whose they are, how their clock runs against the recording's, and how sure that is.

import { changed, state } from './state.js';

/**
 * @typedef {object} Film
 * @property {string} name
 * @property {Blob} blob  stays in this page; no link holds it
 * @property {number | null} plays  frames a second of the file as it plays; null until measured or stated
 * @property {boolean} measured  the rate was measured from the frames
 * @property {number | null} found  the measured rate, whatever was stated later
 * @property {[number, number] | null} gaps_s  least and most seconds of film between frames that follow each other, as seen
 * @property {number | null} filmed  frames a second at which it was filmed, when that is another
 * @property {{film_s: number, recording_s: number, doubt_s: number, words: string} | null} shared
 *   one instant on both clocks; `doubt_s` is how well the recording's side of it is known
 */

const NAMES = /\.(mp4|m4v|webm|mov|ogv|mkv|avi)$/i;

/** Whether a file is a film, by what the system says of it or by its name. @param {{name: string, blob: Blob}} file */
export const isFilm = ({ name, blob }) => blob.type.startsWith('video/') || NAMES.test(name);

/** @param {string} name */
const stem = (name) => name.replace(/\.[^.]*$/, '').toLowerCase();

/** How long a browser may take to show the first picture. */
const PATIENCE_MS = 10_000;
const WANTED = 'expected a film such as MP4 with H.264, or WebM';

/** Films that failed after all: they belong to no recording any more. */
const spoilt = /** @type {WeakSet<Film>} */ (new WeakSet());

/** Whether a film still plays. @param {Film | null} film */
export const playable = (film) => film !== null && !spoilt.has(film);

/** What a browser's error about a film comes to. @param {MediaError | null} error */
function reason(error) {
  if (error?.code === MediaError.MEDIA_ERR_DECODE) return 'its pictures are damaged, or of a kind it has no decoder for';
  if (error?.code === MediaError.MEDIA_ERR_NETWORK) return 'its file can no longer be read';
  return 'it is no film, a damaged one, or of a kind it has no decoder for';
}

/**
 * Plays nothing of a film but its first picture, apart from the page: what a browser cannot play is known before it
 * takes the place of anything.
 * @param {string} name @param {Blob} blob
 * @returns {Promise<string>} the sentence that says why not, or nothing
 */
async function tryOut(name, blob) {
  if (blob.size === 0) return `${name}: the file is empty, ${WANTED}; try copying or exporting it again`;
  const video = document.createElement('video');
  video.muted = true;
  video.preload = 'auto';
  const address = URL.createObjectURL(blob);
  const opened = await new Promise((done) => {
    video.onloadeddata = () => done(true);
    video.onerror = () => done(false);
    // Some browsers load pictures only when asked by a hand: what is known of the film by then counts.
    setTimeout(() => done(video.readyState >= HTMLMediaElement.HAVE_METADATA), PATIENCE_MS);
    video.src = address;
  });
  const [why, pictures] = [reason(video.error), video.videoWidth > 0];
  video.onerror = null;
  video.removeAttribute('src');
  video.load();
  URL.revokeObjectURL(address);
  if (!opened) return `${name}: this browser cannot play it (${why}), ${WANTED}; try exporting it as one of them`;
  return pictures ? '' : `${name}: this browser can play its sound but not its pictures (no decoder for them), ${WANTED}; try exporting it as one of them`;
}

/** Takes a film that failed later from the recording it was beside. @param {Film} film @param {MediaError | null} error */
export function spoil(film, error) {
  spoilt.add(film);
  for (const recording of state.recordings) if (recording.film === film) recording.film = null;
  state.fault = `${film.name}: this browser cannot play it any further (${reason(error)}), ${WANTED}, still where it was on the disk; try dropping it again, or exporting it as one of them`;
  changed();
}

/**
 * Puts the film beside the recording of the same name, else beside the one it came with, else beside the one looked at.
 * @param {{name: string, blob: Blob}} file
 * @param {import('./state.js').Recording[]} together  recordings that came with it
 * @param {number} [films]  how many films came with it, itself counted
 */
export async function attach({ name, blob }, together, films = 1) {
  // Of several recordings of one name the newest.
  const same = state.recordings.findLast((r) => stem(r.name) === stem(name));
  const only = together.length === 1 ? together[0] : null;
  const recording = same ?? (films > 1 ? null : (only ?? state.recordings.find((r) => r.id === state.selected)));
  if (recording) return place({ name, blob }, recording);
  state.fault =
    state.recordings.length === 0
      ? `${name}: a film needs the recording of its swing, expected one in the Tray; drop the recording, then the film`
      : `${name}: it does not say whose swing it shows, expected a film named as its recording is, or one film at a time; select its recording and drop this film alone`;
  changed();
}

/**
 * Puts a film beside a recording, in the place of the one that is there; one that cannot be played changes nothing.
 * @param {{name: string, blob: Blob}} file @param {import('./state.js').Recording} recording
 */
export async function place({ name, blob }, recording) {
  const fault = await tryOut(name, blob);
  if (fault !== '') state.fault = fault;
  else recording.film = { name, blob, plays: null, measured: false, found: null, gaps_s: null, filmed: null, shared: null };
  changed();
}

/** A film as it was kept, with whatever an older page did not keep of it. @param {any} film @returns {Film | null} */
export const revive = (film) => film && { found: film.measured ? film.plays : null, gaps_s: null, ...film };

/**
 * Puts a film beside another recording. Its shared instant is one of the old recording's clock, and stays only when
 * both are swings of one file.
 * @param {import('./state.js').Recording} from @param {import('./state.js').Recording} to
 */
export function moveFilm(from, to) {
  const { film } = from;
  if (!film) return;
  from.film = null;
  to.film = film;
  if (from.blob !== to.blob) film.shared = null;
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

/** How far apart, in time that passed, frames may lie that follow each other, when they come unevenly. @param {Film} film */
export function uneven(film) {
  if (!film.plays || !film.gaps_s || film.gaps_s[1] < 1.5 / film.plays) return null;
  return film.gaps_s[1] * pace(film);
}

/**
 * Half-widths, seconds: of a frame, of the shared instant (half a frame, and how well the recording's side of it is
 * known), and of an event set from a frame (half a frame more). They are added, not combined by squares: both may be
 * off the same way. Where frames come unevenly, it is half of the widest gap.
 * @param {Film} film
 */
export function doubts(film) {
  const frames = rate(film);
  if (!frames) return null;
  const half = Math.max(1 / frames, uneven(film) ?? 0) / 2;
  const shared = film.shared ? half + film.shared.doubt_s : null;
  return { half, shared, event: shared === null ? null : shared + half };
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
