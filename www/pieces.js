// Several swings in one file: each is a recording of its own in the Tray.

import { ask } from './engine.js';
import { state } from './state.js';

/** @typedef {import('./state.js').Recording} Recording */
/** @typedef {{swings_s: [number, number][], others: string[]}} Several */

/**
 * Makes a recording that holds several swings the first of them, and puts the others after it.
 * @param {Recording} recording @param {Several} several @param {() => number} id
 * @returns {boolean} whether there was anything to part
 */
export function part(recording, several, id) {
  recording.others = several.others;
  const of = several.swings_s.length;
  if (of < 2) return false;
  const whole = recording.name;
  const pieces = several.swings_s.map(([from_s, to_s], i) => {
    const piece = i === 0 ? recording : { ...recording, id: id(), given: {}, filmed: {}, film: null, held: false, view: null };
    return Object.assign(piece, { name: `${whole}, swing ${i + 1} of ${of}`, swing: { from_s, to_s }, status: /** @type {const} */ ('reading') });
  });
  state.recordings.splice(state.recordings.indexOf(recording), 1, ...pieces);
  return true;
}

/**
 * Asks for a swing of a file that the worker has read for another swing of it.
 * @param {Recording} recording @param {object} settings
 * @returns {Promise<import('./state.js').RecordingView | null>} nothing when it must be read
 */
export async function beside(recording, settings) {
  const held = state.recordings.find((r) => r.blob === recording.blob && r.wired?.text === recording.wired?.text && r.rig?.text === recording.rig?.text && r.held);
  if (!recording.swing || !held) return null;
  return ask('beside', { id: recording.id, held: held.id, file: recording.name, swing: recording.swing, settings });
}
