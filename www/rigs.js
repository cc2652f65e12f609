// Which rig file a recording is read with: its own wiring, or the page's rig at the time it was first read. Of several that came
// together it is the one that fits its columns.

import { Refused } from './engine.js';
import { state } from './state.js';

/** @typedef {import('./state.js').Recording} Recording */
/** @typedef {import('./state.js').Rig} Rig */

let read = { of: state.rig, rigs: /** @type {Rig[]} */ ([]) };

/** The rig files on the page; their text is made out once, for the Tray asks at every change. @returns {Rig[]} */
export function pageRigs() {
  const of = state.rig;
  if (of !== read.of) read = { of, rigs: of ? [{ name: of.name, text: new TextDecoder().decode(of.bytes) }, ...of.beside] : [] };
  return read.rigs;
}

/** The rig file on the page, when it is the only one. @returns {Rig | null} */
const pageRig = () => (pageRigs().length === 1 ? pageRigs()[0] : null);

/** Rig files that came together are those of the page from now on. @param {{name: string, bytes: Uint8Array}[]} came at least one */
export function bring([first, ...others]) {
  const text = (/** @type {Uint8Array} */ bytes) => new TextDecoder().decode(bytes);
  const beside = /** @type {Rig[]} */ ([]);
  // A copy of one in another folder is no second one.
  for (const { name, bytes } of others) if (![text(first.bytes), ...beside.map((b) => b.text)].includes(text(bytes))) beside.push({ name, text: text(bytes) });
  state.rig = { ...first, beside };
}

/** @param {{name: string}[]} rigs @param {'and' | 'or' | 'nor'} word */
export const listed = (rigs, word) => rigs.map(({ name }) => name).join('\n').replace(/\n(?=[^\n]*$)/, ` ${word} `).replaceAll('\n', ', ');

/** That the rigs of the page do not fit. */
export function noneFits() {
  const rigs = pageRigs();
  return rigs.length === 1 ? `${rigs[0].name} does not fit this table and stays for the others` : `Neither ${listed(rigs, 'nor')} fits this table; they stay for the others`;
}

/** A rig file may name plates of a C3D; any other says nothing about one. @param {Rig} rig */
const namesC3d = (rig) => rig.text.includes('"c3d_plate"');

/** What a recording may be read with. @param {Recording} recording @param {boolean} table @returns {Rig[]} */
export function rigsFor({ wired, rig }, table) {
  if (wired) return [wired];
  if (rig !== undefined) return rig ? [rig] : [];
  const rigs = pageRigs();
  return table || rigs.length === 1 ? rigs : rigs.filter(namesC3d);
}

/** More than one rig file fits: a person says which. */
export class Several extends Error {
  /** @param {string} problem @param {Rig[]} rigs */
  constructor(problem, rigs) {
    super(problem);
    this.rigs = rigs;
  }
}

/**
 * Reads a recording with the one of several rig files that fits it.
 * @template T @param {string} name @param {Rig[]} rigs @param {(rig: Rig) => Promise<T>} load
 * @returns {Promise<{rig: Rig, found: T}>}
 */
export async function readWithOne(name, rigs, load) {
  const fit = /** @type {{rig: Rig, found: T}[]} */ ([]);
  let problem = /** @type {Refused | null} */ (null);
  for (const rig of rigs) {
    try {
      fit.push({ rig, found: await load(rig) });
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      // What other wiring would not help is the matter of the file.
      if (!error.wantsWiring) problem ??= error;
    }
  }
  if (fit.length === 1) return fit[0];
  if (fit.length === 0) throw problem ?? new Refused(`${name}: neither ${listed(rigs, 'nor')} fits it, expected the rig of the plates it was measured with; drop that rig, or wire it here`, true);
  const those = fit.map((f) => f.rig);
  throw new Several(`${name}: ${listed(those, 'and')} fit it alike, expected the one rig of the plates it was measured with; choose it in the Tray, or drop it alone`, those);
}

/** Recordings that more than one rig file fits, and those rigs. */
export function asked() {
  const which = state.recordings.filter((r) => r.status === 'waiting' && r.fits.length > 0);
  return { which, rigs: pageRigs().filter(({ text }) => which.some((r) => r.fits.some((rig) => rig.text === text))) };
}

/** A person says which rig they are read with. @param {Rig} rig */
export function readAsked(rig) {
  for (const recording of asked().which) if (recording.fits.some(({ text }) => text === rig.text)) readAnew(recording, rig);
}

/**
 * A recording stays with the rig it was read with: a rig file that comes later is of another bay, or of another day.
 * @param {Recording} recording @param {Rig | null} rig
 */
export function stays(recording, rig) {
  if (!recording.wired) recording.rig = rig;
}

/** Has a recording read again with a rig. @param {Recording} recording @param {Rig | null} rig */
function readAnew(recording, rig) {
  Object.assign(recording, { rig, status: 'reading', held: false });
}

/** The page has another rig: what waits for one is tried again, and a file of the same name takes the place of the one before. */
export function replaced() {
  for (const recording of state.recordings) {
    const rig = pageRigs().find(({ name }) => name === recording.rig?.name);
    if (recording.status === 'waiting') Object.assign(recording, { rig: undefined, status: 'reading' });
    else if (!recording.wired && rig && recording.rig?.text !== rig.text) readAnew(recording, rig);
  }
}

/** Whether a rig file says anything about a recording. @param {Recording} recording @param {Rig} rig */
const speaksOf = ({ view }, rig) => namesC3d(rig) || !view?.tray.facts.some((f) => f.name === 'format' && f.text.startsWith('C3D'));

/** Recordings that were read before the page's rig came and could be read with it. */
export function others() {
  const rig = pageRig();
  if (!rig) return [];
  return state.recordings.filter((r) => r.status === 'ready' && !r.wired && r.rig !== undefined && r.rig?.text !== rig.text && speaksOf(r, rig));
}

/** Has those read with it too. */
export function readOthers() {
  for (const recording of others()) readAnew(recording, pageRig());
}
