// Which rig file a recording is read with: its own wiring, or the page's rig at the time it was first read.

import { state } from './state.js';

/** @typedef {import('./state.js').Recording} Recording */
/** @typedef {import('./state.js').Rig} Rig */

let read = { of: state.rig, rig: /** @type {Rig | null} */ (null) };

/** The rig file on the page; its text is made out once, for the Tray asks at every change. @returns {Rig | null} */
export function pageRig() {
  const of = state.rig;
  if (of !== read.of) read = { of, rig: of && { name: of.name, text: new TextDecoder().decode(of.bytes) } };
  return read.rig;
}

/** A rig file may name plates of a C3D; any other says nothing about one. @param {Rig} rig */
const namesC3d = (rig) => rig.text.includes('"c3d_plate"');

/** @param {Recording} recording @returns {Rig | null} */
export const rigFor = ({ wired, rig }) => wired ?? (rig === undefined ? pageRig() : rig);

/**
 * A recording stays with the rig it was read with: a rig file that comes later is of another bay, or of another day.
 * @param {Recording} recording @param {Rig | null} rig
 */
export function stays(recording, rig) {
  if (!recording.wired) recording.rig = rig;
}

/** Has a recording read again with the page's rig. @param {Recording} recording */
function readAnew(recording) {
  Object.assign(recording, { rig: pageRig(), status: 'reading', held: false });
}

/** The page has another rig: what waits for one is tried again, and a file of the same name takes the place of the one before. */
export function replaced() {
  const rig = pageRig();
  for (const recording of state.recordings) {
    if (recording.status === 'waiting') Object.assign(recording, { rig: undefined, status: 'reading' });
    else if (!recording.wired && recording.rig && recording.rig.name === rig?.name && recording.rig.text !== rig.text) readAnew(recording);
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
  for (const recording of others()) readAnew(recording);
}
