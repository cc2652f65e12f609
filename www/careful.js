// What warns of a number or a picture, said beside it: notes of the recording that is looked at, and of those that count in A and B.

import { glued, make, write } from './dom.js';
import { counts, labelOf, notesOf, selected, state } from './state.js';

/** @typedef {{level: string, of: string, text: string}} Caution */
/** @typedef {{code: string, level: string, text: string, concerns: string[]}} Note */

const WORDS = /** @type {Record<string, string>} */ ({ stop: 'Stop', warn: 'Careful' });

/** Notes of a recording that warn of something. @param {import('./state.js').Recording} recording @param {string} what id of a measure or a chart; empty: what touches all of them alike */
function warnings(recording, what) {
  const touches = (/** @type {Note} */ { concerns }) => (what === '' ? concerns.length === 0 : concerns.some((begins) => what.startsWith(begins)));
  return notesOf(recording).filter((note) => note.level in WORDS && touches(note));
}

/** What warns of something in the recording that is looked at. @param {string} what @returns {Caution[]} */
export function ofSelected(what) {
  const one = selected();
  return one ? warnings(one, what).map(({ level, text }) => ({ level, of: '', text })) : [];
}

/** What warns of something in any recording that counts in a set, once a kind. @param {'A' | 'B'} set @param {string} what @returns {Caution[]} */
export function ofSet(set, what) {
  const all = state.recordings.filter((r) => r.set === set && counts(r));
  const kinds = /** @type {Map<string, {note: Note, in: Set<number>}>} */ (new Map());
  for (const recording of all) {
    for (const note of warnings(recording, what)) {
      const kind = kinds.get(note.code) ?? { note, in: new Set() };
      kinds.set(note.code, kind);
      kind.in.add(recording.id);
    }
  }
  return [...kinds.values()].map((kind) => ({ level: kind.note.level, of: `, ${kind.in.size} of ${all.length} in ${set}, ${labelOf(set)}`, text: kind.note.text }));
}

/** What warns of something that the Bench shows. @param {string} what @param {boolean} sets whether it shows A and B */
export const ofBench = (what, sets) => [...(sets ? [...ofSet('A', what), ...ofSet('B', what)] : []), ...ofSelected(what)];

/** @param {Caution} caution */
export const inWords = ({ level, of, text }) => glued(`${WORDS[level]}${of}: ${text}`);

/** A line that stays away while nothing warns; the first of what warns in short, all of it when opened. @param {string} id */
export function cautionLine(id) {
  return make('details', { id, class: 'careful', hidden: true }, make('summary', {}), make('ul', {}));
}

/** @param {Element} line @param {Caution[]} cautions */
export function updateCautions(line, cautions) {
  const [first = '', ...others] = cautions.map(inWords);
  /** @type {HTMLElement} */ (line).hidden = first === '';
  const [summary, list] = line.children;
  write(summary, first + (others.length > 0 ? ` (and ${others.length} more)` : ''));
  if (list.textContent !== others.join('')) list.replaceChildren(...others.map((text) => make('li', {}, text)));
}

/**
 * A cell's words, behind them a mark that opens what warns of them, and the same said another way below.
 * @param {HTMLElement} cell @param {string} says @param {Caution[]} cautions @param {{opens: string, open: boolean, press: () => void}} to
 * @param {string} [below]
 */
export function marked(cell, says, cautions, { opens, open, press }, below = '') {
  const title = cautions.map(inWords).join('\n');
  const marks = [says, below, title].join('\n');
  if (cell.dataset.marks !== marks) {
    cell.dataset.marks = marks;
    const held = cell.contains(document.activeElement);
    const word = cautions.some((c) => c.level === 'stop') ? 'stop' : 'careful';
    const mark = make('button', { type: 'button', class: 'mark', title, 'aria-controls': opens, onclick: press }, word);
    cell.replaceChildren(...(says === '' ? [] : [make('span', { class: 'says' }, says)]), ...(cautions.length > 0 ? [says === '' ? '' : ' ', mark] : []), ...(below === '' ? [] : [' ', make('span', { class: 'below' }, below)]));
    if (held) cell.querySelector('button')?.focus();
  }
  cell.querySelector('.mark')?.setAttribute('aria-expanded', String(open));
}
