// Layouts of tables that were wired before, and what a table without a rig most likely is.

import { ask, needWhole } from './engine.js';
import { state } from './state.js';

/** @typedef {{name: string, text: string}} Wiring */
/** @typedef {{about: string, what: string, value: string, confidence: number, evidence: string[]}} Choice */
/** @typedef {{rig: string, certain: boolean, choices: Choice[], questions: {id: string, text: string, matters: boolean}[], fingerprint: string}} Proposal */
/** @typedef {{written: string, rows: number, width: number, fingerprint: string, columns: Float64Array[],
 *   list: {reference: string, header: string, unit: string | null, span: [number, number] | null, missing: number}[]}} Table */
/** @typedef {{bytes: Uint8Array<ArrayBuffer>, table: Table, before: Wiring | null, proposal: Proposal | null, problem: string}} Look */

const KEPT = 'footing-wirings';

/** @typedef {ReadonlyMap<string, {wiring: Wiring, rig: typeof state.rig}>} Layouts wirings and the rig file there was beside them, by fingerprint */

/** Of this page's session; never changed, only replaced, so that a step back can keep what it was. */
let known = /** @type {Layouts} */ (new Map());

export const layouts = () => known;

/** Makes what this page's session knows what it was. @param {Layouts} to */
export function knowOnly(to) {
  known = to;
}

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

/** Whether the browser remembers a layout that one of the two knows otherwise. @param {Layouts} a @param {Layouts} b */
export const remembersOneOf = (a, b) => [...a.keys(), ...b.keys()].some((print) => a.get(print) !== b.get(print) && isRemembered(print));

/** @param {Record<string, Wiring>} all */
function remember(all) {
  try {
    localStorage.setItem(KEPT, JSON.stringify(all));
  } catch {
    state.fault = 'This browser does not keep the wiring; save it as a rig file instead';
  }
}

/** Knows a layout again, and in this browser too when the person asks. @param {string} fingerprint @param {Wiring} wiring @param {boolean} keep */
export function learn(fingerprint, wiring, keep) {
  known = new Map(known).set(fingerprint, { wiring, rig: state.rig });
  if (keep) remember({ ...remembered(), [fingerprint]: wiring });
}

/** Has the browser forget a layout. @param {string} fingerprint */
export function forget(fingerprint) {
  const { [fingerprint]: _, ...others } = remembered();
  remember(others);
}

/** @param {import('./state.js').Recording} recording @returns {Promise<Look>} */
export async function lookOver({ name, blob }) {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  // Only the whole module knows how to look.
  await needWhole();
  const table = await ask('columns', { file: name, bytes });
  const before = known.get(table.fingerprint)?.wiring ?? remembered()[table.fingerprint] ?? null;
  try {
    const proposal = await ask('propose', { file: name, bytes, handed: state.settings.handed });
    return { bytes, table, before, proposal, problem: '' };
  } catch (error) {
    return { bytes, table, before, proposal: null, problem: error instanceof Error ? error.message : String(error) };
  }
}

/** Why a proposal is not used at once, in words. @param {Look} look */
function asked({ proposal, problem }) {
  // What is taken meanwhile stands in the Wiring.
  const open = proposal?.questions.filter((q) => q.matters).map((q) => `${q.text.split('?')[0]}?`) ?? [problem];
  return `Asked: ${open.join(' ')}`;
}

/**
 * Wires a table that no rig reads when its layout is known, or its own words leave nothing open. Where a person gave a rig,
 * or wired it, nothing else takes its place unasked, save a wiring of the same columns that was used beside that rig.
 * @param {import('./state.js').Recording} recording @returns {Promise<boolean>} whether it is wired now
 */
export async function wireByItself(recording) {
  if (recording.wired) {
    recording.said = 'Its wiring does not fit it: look it over';
    return false;
  }
  const look = await lookOver(recording);
  const { before, proposal } = look;
  const used = known.get(look.table.fingerprint);
  if (state.rig && used?.rig !== state.rig) {
    const ready = before ? 'A table with the same columns was wired before: look at that wiring and use it' : proposal?.certain ? 'Its own names and units leave nothing open: look at that wiring and use it' : asked(look);
    recording.said = `${state.rig.name} does not fit this table and stays for the others. ${ready}`;
    return false;
  }
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
  recording.said = asked(look);
  return false;
}
