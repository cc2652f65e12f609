// The largest words on the page: what the swing, or the two sets, come to; before that, whatever says not to read it.

import { at, glued, write } from './dom.js';
import { compared, counts, hasSets, labelOf, onChange, selected, standingOf, state } from './state.js';
import { overrule, set } from './work.js';

/** @typedef {import('./state.js').Recording} Recording */

const otherHand = () => (state.settings.handed === 'left' ? 'right' : 'left');

/** What a stop says, shortest where one setting may cure it. @param {{code: string, text: string}} stop */
function said(stop) {
  if (stop.code === 'hand-mirrored') return `This swing turns like a ${otherHand()}-handed player\u2019s: set ${otherHand()}-handed, or check the signs of the plates\u2019 Mz, Fx and Fy`;
  return stop.text;
}

/** The stops of a recording that no hand has overruled, those that a setting may cure first. @param {Recording | null} one */
function standing(one) {
  if (!one?.view) return [];
  const first = (/** @type {{code: string}} */ stop) => (stop.code === 'hand-mirrored' ? 0 : 1);
  return standingOf(one).sort((a, b) => first(a) - first(b));
}

/** The recordings of a set that would count, were it not for a note. @param {'A' | 'B'} name */
const keptOut = (name) => state.recordings.filter((r) => r.set === name && r.held && r.aside === '' && standingOf(r).length > 0);

/** Why A and B, which both hold recordings, are not compared as they lie there. */
function notCompared() {
  const sets = /** @type {const} */ (['A', 'B']).map((name) => ({ name, out: keptOut(name), counted: state.recordings.filter((r) => r.set === name && counts(r)).length }));
  const out = sets.flatMap((s) => s.out);
  if (sets.some((s) => s.out.length + s.counted === 0)) return { text: '', out: [] };
  if (out.length === 0) {
    const failed = state.comparison && 'problem' in state.comparison;
    return { text: failed ? 'A and B cannot be compared; under Findings is why.' : '', out };
  }
  const parts = sets
    .filter((s) => s.out.length > 0)
    .map((s) => `${s.counted === 0 ? 'all ' : ''}${s.out.length} ${s.out.length === 1 ? 'recording' : 'recordings'} of ${s.name}, ${labelOf(s.name)}`);
  const are = out.length === 1 ? 'is' : 'are';
  const because = `${parts.join(' and ')} ${are} kept out: a note says stop`;
  return { text: hasSets() ? `${because[0].toUpperCase()}${because.slice(1)}.` : `A and B are not compared: ${because}.`, out };
}

/** What a recording shows, in one sentence that says first when it is not to be relied on. @param {Recording} one */
export function inShort(one) {
  const [stop] = standing(one);
  return `${one.name}: ${stop ? `stop. ${said(stop)}` : one.view?.sentence ?? ''}`;
}

function opening() {
  if (state.recordings.some((r) => r.status === 'waiting')) return 'A rig file is still missing: drop it beside its tables, or wire them in the Tray';
  return 'Drop the force-plate files of a swing here';
}

export function mountHeadline() {
  const hand = at('stop-hand', HTMLButtonElement);
  hand.addEventListener('click', () => set({ handed: otherHand() }));
  at('stop-overrule', HTMLButtonElement).addEventListener('click', () => {
    const one = selected();
    if (one) overrule(one, true);
    at('reading', HTMLElement).focus();
  });
  at('kept-out-use', HTMLButtonElement).addEventListener('click', () => {
    for (const recording of notCompared().out) overrule(recording, true);
    at('reading', HTMLElement).focus();
  });
  onChange(() => {
    const one = selected();
    const both = compared();
    const [stop, ...others] = both ? [] : standing(one);
    const own = one?.view?.sentence ?? opening();
    write(at('sentence', HTMLHeadingElement), both ? both.said.sentences[0] : stop ? `Stop. ${said(stop)}` : own);
    at('stop-more', HTMLDivElement).hidden = !stop;
    const more = others.length === 0 ? '' : ` ${others.length} more ${others.length === 1 ? 'note says' : 'notes say'} stop, in the Tray.`;
    write(at('stop-reading', HTMLParagraphElement), glued(`Until then this is not to be relied on: ${own}.${more}`));
    hand.hidden = stop?.code !== 'hand-mirrored';
    write(hand, `Set ${otherHand()}-handed`);
    const { text, out } = notCompared();
    at('kept-out', HTMLDivElement).hidden = text === '';
    write(at('kept-out-says', HTMLParagraphElement), text);
    const use = at('kept-out-use', HTMLButtonElement);
    use.hidden = out.length === 0;
    write(use, out.length === 1 ? `Use ${out[0].name} all the same` : `Use all ${out.length} all the same`);
  });
}
