// Layouts of tables that were wired before, and what a table without a rig most likely is.

import { ask, needWhole } from './engine.js';
import { noneFits } from './rigs.js';
import { state } from './state.js';

/** @typedef {{name: string, text: string, hand?: string, print?: string}} Wiring a rig; the hand its feet were told by, and the columns it was made for by hand */
/** @typedef {{about: string, what: string, value: string, confidence: number, evidence: string[]}} Choice */
/** @typedef {{rig: string, certain: boolean, choices: Choice[], questions: {id: string, text: string, matters: boolean}[], fingerprint: string}} Proposal */
/** @typedef {{written: string, rows: number, width: number, fingerprint: string, columns: Float64Array[],
 *   list: {reference: string, header: string, unit: string | null, span: [number, number] | null, missing: number}[]}} Table */
/** @typedef {{bytes: Uint8Array<ArrayBuffer>, table: Table, before: Wiring | null, proposal: Proposal | null, problem: string,
 *   said: string | null, taken: string}} Look `said` is the hand that was known, `taken` the one that was taken */

const KEPT = 'footing-wirings';

/**
 * @typedef {object} Layouts
 * @property {ReadonlyMap<string, {wiring: Wiring, rig: typeof state.rig}>} known  wirings and the rig file there was beside them, by fingerprint
 * @property {Wiring | null} last  the one used last
 * @property {string | null} hand  which hand the player plays, when a person said it: what the page begins with is nobody's word
 */

/** Of this page's session; never changed, only replaced, so that a step back can keep what it was. */
let made = /** @type {Layouts} */ ({ known: new Map(), last: null, hand: null });
let seen = state.settings.handed;

export function layouts() {
  if (state.settings.handed !== seen) knowHand(state.settings.handed);
  return made;
}

/** A person says which hand the player plays. @param {string} hand */
export function knowHand(hand) {
  seen = hand;
  made = { ...made, hand };
}

/** Makes what this page's session knows what it was. @param {Layouts} to */
export function knowOnly(to) {
  made = to;
  seen = state.settings.handed;
}

/** The hand that the feet of a table are told by, when its columns are named left and right. @param {Look} look @param {string} hand */
const handOf = ({ proposal }, hand) => (proposal?.choices.some((c) => c.about === 'feet' && c.value === 'from left and right') ? hand : undefined);

/** Whether a wiring took the player for one of the other hand. @param {Wiring} wiring */
export const otherHand = ({ hand }) => hand !== undefined && hand !== state.settings.handed;

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
export const remembersOneOf = (a, b) => [...a.known.keys(), ...b.known.keys()].some((print) => a.known.get(print) !== b.known.get(print) && isRemembered(print));

/** @param {Record<string, Wiring>} all */
function remember(all) {
  try {
    localStorage.setItem(KEPT, JSON.stringify(all));
  } catch {
    state.fault = 'This browser does not keep the wiring; save it as a rig file instead';
  }
}

/** A rig that a person made for a table, and uses. @param {Look} look @param {string} name @param {string} text @returns {Wiring} */
export const usedBy = (look, name, text) => ({ name, text, hand: handOf(look, state.settings.handed), print: look.table.fingerprint });

/** Knows a layout again, and in this browser too when the person asks. @param {string} fingerprint @param {Wiring} wiring @param {boolean} keep */
export function learn(fingerprint, wiring, keep) {
  const now = layouts();
  made = { ...now, known: new Map(now.known).set(fingerprint, { wiring, rig: state.rig }), last: wiring };
  if (!keep) return;
  // The newest stands last.
  const { [fingerprint]: _, ...others } = remembered();
  remember({ ...others, [fingerprint]: wiring });
}

/** The wiring that was used last: in this session, or, when there was none, by what the browser remembers. @returns {Wiring | null} */
export const lastUsed = () => made.last ?? Object.values(remembered()).at(-1) ?? null;

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
  const { known, hand: said } = layouts();
  const taken = state.settings.handed;
  // A session that was opened again brings what its tables were wired by.
  const brought = () => state.recordings.find((r) => r.wired?.print === table.fingerprint)?.wired;
  const before = known.get(table.fingerprint)?.wiring ?? brought() ?? remembered()[table.fingerprint] ?? null;
  try {
    const proposal = await ask('propose', { file: name, bytes, handed: said ?? '' });
    return { bytes, table, before, proposal, problem: '', said, taken };
  } catch (error) {
    return { bytes, table, before, proposal: null, problem: error instanceof Error ? error.message : String(error), said, taken };
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
  let look = await lookOver(recording);
  // The hand may be said meanwhile.
  while (look.said !== layouts().hand) look = await lookOver(recording);
  const { before, proposal } = look;
  const used = made.known.get(look.table.fingerprint);
  if (state.rig && used?.rig !== state.rig) {
    const ready = before ? 'A table with the same columns was wired before: look at that wiring and use it' : proposal?.certain ? 'Its own names and units leave nothing open: look at that wiring and use it' : asked(look);
    recording.said = `${noneFits()}. ${ready}`;
    return false;
  }
  if (before && otherHand(before)) {
    recording.said = `A table with the same columns was wired for a ${before.hand}-handed player: look at that wiring and use it`;
    return false;
  }
  if (before) {
    recording.wired = before;
    recording.said = 'Wired as the last table with the same columns';
    return true;
  }
  if (proposal?.certain) {
    recording.wired = { name: `${recording.name}.rig.json`, text: proposal.rig, hand: handOf(look, look.taken) };
    recording.said = 'Wired by its own names and units, which leave nothing open';
    return true;
  }
  recording.said = asked(look);
  return false;
}

/**
 * The hand is another: what was wired for the other one is looked over again, and what waited for it too. By its own words a
 * table is wired anew; where a person did it, it asks.
 * @returns {boolean} whether there was any
 */
export function handCorrected() {
  const found = state.recordings.filter(({ wired, status }) => (wired ? otherHand(wired) : status === 'waiting'));
  for (const recording of found) {
    const { wired } = recording;
    if (wired?.print && !made.known.has(wired.print)) made = { ...made, known: new Map(made.known).set(wired.print, { wiring: wired, rig: state.rig }) };
    if (wired) recording.rig = null;
    if (recording.held) void ask('forget', { id: recording.id }).catch(() => {});
    Object.assign(recording, { wired: null, status: 'reading', held: false, stale: false, view: null });
  }
  return found.length > 0;
}
