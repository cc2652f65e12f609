// What a session is, and the file of one: JSON with the recordings inside, a version and a checksum.

import { state } from './state.js';

/** @typedef {import('./state.js').Recording} Recording */
/** @typedef {{name: string, blob: Blob, plays: number | null, measured: boolean, filmed: number | null,
 *   shared: import('./films.js').Film['shared'], found?: number | null, gaps_s?: [number, number] | null}} Film */
/** @typedef {{name: string, blob: Blob, set: import('./state.js').SetName, given: Record<string, number>, filmed: Recording['filmed'],
 *   aside: string, overruled?: boolean, overruled_stops?: string[], swing?: Recording['swing'], others?: string[], wired?: Recording['wired'], rig?: Recording['rig'], film: Film | null}} Part */
/** @typedef {{settings: import('./state.js').Settings, labels: {A: string, B: string}, choice: typeof state.choice,
 *   words: typeof state.words, rig: {name: string, blob: Blob} | null, rigs_beside?: import('./state.js').Rig[], selected: number, recordings: Part[]}} Session */

const FORMAT = 'footing-session/1';

/** Everything a person would miss after closing the page. @param {boolean} films @returns {Session} */
export function session(films) {
  const kept = state.recordings.filter((r) => r.status !== 'refused');
  return {
    settings: { ...state.settings },
    labels: { ...state.labels },
    choice: { ...state.choice },
    words: { ...state.words },
    rig: state.rig && { name: state.rig.name, blob: new Blob([/** @type {Uint8Array<ArrayBuffer>} */ (state.rig.bytes)]) },
    rigs_beside: state.rig?.beside ?? [],
    selected: kept.findIndex((r) => r.id === state.selected),
    recordings: kept.map(({ name, blob, set, given, filmed, aside, overruled, swing, others, wired, rig, film }) => ({
      name,
      blob,
      set,
      given: { ...given },
      filmed: { ...filmed },
      aside,
      overruled: overruled.length > 0,
      overruled_stops: overruled,
      swing,
      others,
      wired,
      rig,
      film: films && film ? { ...film } : null,
    })),
  };
}

/** @param {Blob} blob @returns {Promise<string>} */
function toBase64(blob) {
  return new Promise((done, fail) => {
    const reader = new FileReader();
    reader.onload = () => done(String(reader.result).replace(/^[^,]*,?/, ''));
    reader.onerror = () => fail(reader.error);
    reader.readAsDataURL(blob);
  });
}

/** @param {string} text */
const fromBase64 = (text) => Uint8Array.from(atob(text), (c) => c.charCodeAt(0));

/** FNV-1a: shows damage, protects from nobody. @param {string} text */
function checksum(text) {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i += 1) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, '0');
}

/** @param {Session} what */
export async function write(what) {
  /** @param {{name: string, blob: Blob}} file */
  const packed = async ({ blob, ...rest }) => ({ ...rest, type: blob.type, base64: await toBase64(blob) });
  const recordings = [];
  for (const part of what.recordings) {
    recordings.push({ ...(await packed(part)), film: part.film && (await packed(part.film)) });
  }
  const holds = JSON.stringify({ ...what, rig: what.rig && (await packed(what.rig)), recordings });
  // The format comes first: a reader knows it by its first bytes.
  return `{"format":"${FORMAT}","checksum":"${checksum(holds)}","holds":${holds}}\n`;
}

/** Whether a value looks like its pattern: the same kinds, and for objects at least the same keys. @param {any} value @param {any} pattern @returns {boolean} */
function fits(value, pattern) {
  if (Array.isArray(pattern)) return pattern.some((one) => fits(value, one));
  if (typeof pattern === 'function') return pattern(value);
  if (pattern === null || typeof pattern !== 'object') return value === pattern;
  return typeof value === 'object' && value !== null && Object.entries(pattern).every(([key, inner]) => fits(value[key], inner));
}

const text = (/** @type {any} */ v) => typeof v === 'string';
const number = (/** @type {any} */ v) => typeof v === 'number' && Number.isFinite(v);
const yes = (/** @type {any} */ v) => typeof v === 'boolean';
/** @param {(v: any) => boolean} inner */
const all = (inner) => (/** @type {any} */ v) => typeof v === 'object' && v !== null && Object.values(v).every(inner);
/** @param {(v: any) => boolean} inner */
const list = (inner) => (/** @type {any} */ v) => Array.isArray(v) && v.every(inner);

const FILM = { name: text, type: text, base64: text, plays: [number, null], measured: yes, filmed: [number, null], found: [undefined, null, number], gaps_s: [undefined, null, list(number)], shared: [null, { film_s: number, recording_s: number, doubt_s: number, words: text }] };
const RECORDING = {
  name: text,
  base64: text,
  set: ['A', 'B', ''],
  given: all(number),
  filmed: all((v) => fits(v, { uncertainty_s: number, frames_per_s: number })),
  aside: text,
  overruled: [undefined, yes],
  overruled_stops: [undefined, list(text)],
  swing: [undefined, null, { from_s: number, to_s: number }],
  others: [undefined, list(text)],
  wired: [undefined, null, { name: text, text }],
  rig: [undefined, null, { name: text, text }],
  film: [null, FILM],
};
const HOLDS = {
  settings: {
    handed: ['right', 'left'],
    about: ['stance-centre', 'com', 'combined-cop'],
    target_azimuth_deg: [number, null],
    low_pass: [number, 'off', 'auto'],
    mass_kg: [number, null],
    load_threshold_n: [undefined, null, number],
    zero_quiet: yes,
  },
  labels: { A: text, B: text },
  choice: { paired: yes, linear: yes },
  words: { title: text, cue: text },
  rig: [null, { name: text, base64: text }],
  rigs_beside: [undefined, list((v) => fits(v, { name: text, text }))],
  selected: number,
  recordings: list((v) => fits(v, RECORDING)),
};

/**
 * The session in a file; throws one sentence when there is none.
 * @param {string} name @param {Blob} blob @returns {Promise<Session>}
 */
export async function read(name, blob) {
  let found;
  try {
    found = JSON.parse(await blob.text());
  } catch {
    throw new Error(`${name}: the session file is damaged or cut short, expected the whole of what Footing saved; try another copy of it`);
  }
  const format = String(found?.format ?? '');
  if (/^footing-session\/\d+$/.test(format) && format !== FORMAT) {
    throw new Error(`${name}: it is a session of a later Footing (${format}), expected ${FORMAT}; open it with a newer page`);
  }
  if (format !== FORMAT) throw new Error(`${name}: it is no session of Footing, expected "format": "${FORMAT}"; drop recordings on the page instead`);
  const { holds } = found;
  if (found.checksum !== checksum(JSON.stringify(holds ?? null))) {
    throw new Error(`${name}: the session file was changed after it was saved (its checksum does not agree), expected it as saved; try another copy of it`);
  }
  if (!fits(holds, HOLDS)) throw new Error(`${name}: the session file lacks part of what a session holds, expected ${FORMAT}; try another copy of it`);
  /** @param {any} packed */
  const unpacked = ({ base64, type, ...rest }) => ({ ...rest, blob: new Blob([fromBase64(base64)], { type: type ?? '' }) });
  return {
    ...holds,
    rig: holds.rig && unpacked(holds.rig),
    recordings: holds.recordings.map((/** @type {any} */ part) => ({ ...unpacked(part), film: part.film && unpacked(part.film) })),
  };
}
