// The sheet of keys, and the keys that work anywhere on the page.

import { at, make } from './dom.js';
import { filmKeys } from './film.js';
import { changed, fitWindow, hasSets, state } from './state.js';
import { select, show } from './work.js';

/** @type {[string, string][]} */
const SHEET = [
  ['?', 'this sheet'],
  ['c', 'to the cursor'],
  ['t', 'to the marker of the top'],
  ['n, p', 'next, previous recording'],
  ['s', 'this recording, or A and B'],
  ['w', 'the swing, or the whole recording'],
  ['← →', 'move the cursor or a marker by 1 ms'],
  ['Shift ← →', 'by 10 ms'],
  ['Page Up, Page Down', 'by 100 ms'],
  ['Home, End', 'to the first, last instant'],
  ['Delete', 'on a marker: back to the file’s or the estimated time'],
  ['f', 'to the film, or to adding one'],
  [', .', 'film: one frame back, one on'],
  ['t, a, i', 'in the film: this frame is the top, lead arm level, impact'],
  ['Ctrl Z, Ctrl Shift Z', 'undo, redo'],
  ['Ctrl V', 'read what was copied: files or a table'],
];

/** @param {number} step */
function neighbour(step) {
  const ready = state.recordings.filter((r) => r.status === 'ready');
  if (ready.length === 0) return;
  const here = ready.findIndex((r) => r.id === state.selected);
  select(ready[(here + step + ready.length) % ready.length].id);
}

export function mountKeys() {
  const sheet = at('keys', HTMLDialogElement);
  at('keys-body', HTMLTableSectionElement).append(
    ...SHEET.map(([keys, what]) => make('tr', {}, make('th', { scope: 'row' }, make('kbd', {}, keys)), make('td', {}, what))),
  );
  at('keys-open', HTMLButtonElement).addEventListener('click', () => sheet.showModal());
  /** @type {Record<string, () => void>} */
  const keys = {
    ...filmKeys,
    '?': () => sheet.showModal(),
    c: () => at('cursor', HTMLDivElement).focus(),
    t: () => /** @type {HTMLElement | null} */ (document.querySelector('.marker[data-event="top"] .handle'))?.focus(),
    n: () => neighbour(1),
    p: () => neighbour(-1),
    s: () => {
      if (hasSets()) void show(state.show === 'sets' ? 'recording' : 'sets');
    },
    w: () => {
      state.range = state.range === 'swing' ? 'whole' : 'swing';
      fitWindow();
      changed();
    },
  };
  window.addEventListener('keydown', (event) => {
    const typing = event.target instanceof HTMLElement && event.target.matches('input:not([type="radio"], [type="checkbox"]), select, textarea');
    if (typing || event.ctrlKey || event.metaKey || event.altKey || sheet.open) return;
    const act = keys[event.key];
    if (!act) return;
    act();
    event.preventDefault();
  });
}
