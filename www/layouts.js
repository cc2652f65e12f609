// Layouts of tables that were wired before, and what a table without a rig most likely is.

import { ask } from './engine.js';
import { state } from './state.js';

/** @typedef {{name: string, text: string}} Wiring */
/** @typedef {{about: string, what: string, value: string, confidence: number, evidence: string[]}} Choice */
/** @typedef {{rig: string, certain: boolean, choices: Choice[], questions: {id: string, text: string, matters: boolean}[], fingerprint: string}} Proposal */
/** @typedef {{written: string, rows: number, width: number, fingerprint: string, columns: Float64Array[],
 *   list: {reference: string, header: string, unit: string | null, span: [number, number] | null, missing: number}[]}} Table */

const KEPT = 'footing-wirings';

/** Of this page's session. */
const known = /** @type {Map<string, Wiring>} */ (new Map());

/** What the person asked this browser to remember. @returns {Record<string, Wiring>} */
function remembered() {
  try {
    const all = JSON.parse(localStorage.getItem(KEPT) ?? '{}');
    return Object.fromEntries(Object.entries(all).filter(([, one]) => typeof one?.name === 'string' && typeof one?.text === 'string'));
  } catch {
    return {};
  }
}

/** @param {string} fingerprint */
export const isRemembered = (fingerprint) => fingerprint in remembered();

/** Knows a layout again, and in this browser too when the person asks. @param {string} fingerprint @param {Wiring} wiring @param {boolean} keep */
export function learn(fingerprint, wiring, keep) {
  known.set(fingerprint, wiring);
  const all = remembered();
  if (!keep && !(fingerprint in all)) return;
  if (keep) all[fingerprint] = wiring;
  else delete all[fingerprint];
  try {
    localStorage.setItem(KEPT, JSON.stringify(all));
  } catch {
    state.fault = 'This browser does not keep the wiring; save it as a rig file instead';
  }
}

/** @param {import('./state.js').Recording} recording @returns {Promise<{bytes: Uint8Array<ArrayBuffer>, table: Table, proposal: Proposal | null, problem: string}>} */
export async function lookOver({ name, blob }) {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  const table = await ask('columns', { file: name, bytes });
  try {
    const proposal = await ask('propose', { file: name, bytes, handed: state.settings.handed });
    return { bytes, table, proposal, problem: '' };
  } catch (error) {
    return { bytes, table, proposal: null, problem: error instanceof Error ? error.message : String(error) };
  }
}

/**
 * Wires a table that came without a rig when its layout is known, or its own words leave nothing open.
 * @param {import('./state.js').Recording} recording @returns {Promise<boolean>} whether it is wired now
 */
export async function wireByItself(recording) {
  const { table, proposal, problem } = await lookOver(recording);
  const before = known.get(table.fingerprint) ?? remembered()[table.fingerprint];
  if (before) {
    recording.wired = before;
    recording.said = 'Wired as the last table with the same columns';
    return true;
  }
  if (proposal?.certain) {
    recording.wired = { name: `${recording.name}.rig.json`, text: proposal.rig };
    recording.said = 'Wired by its own names and units, which leave nothing open';
    return true;
  }
  // What is taken meanwhile stands in the Wiring.
  const asked = proposal?.questions.filter((q) => q.matters).map((q) => `${q.text.split('?')[0]}?`) ?? [problem];
  recording.said = `Asked: ${asked.join(' ')}`;
  return false;
}
