// The Tray: what was dropped, what was recognised, which set it belongs to.

import { asideLine, updateAside } from './aside.js';
import { at, follow, make, write } from './dom.js';
import { foldable } from './fold.js';
import { changed, counts, notesOf, onChange, standingOf, state, stopsOf } from './state.js';
import { asked, listed, others, pageRigs, readAsked, readOthers } from './rigs.js';
import { mountRefused } from './refused.js';
import { assign, cancel, overrule, readAll, refresh, remove, select } from './work.js';
import { updateWire, wireLine } from './wiring.js';

/** @typedef {import('./state.js').Recording} Recording */

const LEVELS = /** @type {Record<string, string>} */ ({ stop: 'Stop', warn: 'Careful', note: 'Note' });

/** @param {Recording} recording */
function create(recording) {
  const item = make('li', { class: 'recording' });
  const name = make('button', { type: 'button', class: 'name', onclick: () => select(recording.id) });
  const sets = make('span', { class: 'sets', role: 'radiogroup', 'aria-label': `Set of ${recording.name}` });
  for (const [set, text] of /** @type {const} */ ([['A', 'A'], ['B', 'B'], ['', 'neither']])) {
    const input = make('input', {
      type: 'radio',
      name: `set-${recording.id}`,
      value: set,
      onchange: () => assign(recording, set),
    });
    sets.append(make('label', {}, input, text));
  }
  const away = make(
    'button',
    { type: 'button', class: 'quiet remove', 'aria-label': `Remove ${recording.name}`, onclick: () => remove(recording) },
    '×',
  );
  const facts = make('details', { class: 'facts' }, make('summary', {}), make('dl', {}));
  const stop = make(
    'div',
    { class: 'stop-line', hidden: true },
    make('span', { class: 'stop-says' }),
    make('button', { type: 'button', class: 'quiet overrule', onclick: () => overrule(recording, standingOf(recording).length > 0) }),
  );
  item.append(make('div', { class: 'line' }, name, away), sets, asideLine(recording), make('p', { class: 'brief' }), wireLine(recording), stop, make('ul', { class: 'notes' }), facts);
  return item;
}

/** @param {Element} item @param {string} query */
const inside = (item, query) => /** @type {HTMLElement} */ (item.querySelector(query));

/** Which rig tables are read with, what was read with another before, and what is to be chosen. @param {HTMLElement} line */
function updateRig(line) {
  line.hidden = !state.rig;
  if (!state.rig) return;
  const rigs = pageRigs();
  const older = others();
  const { which, rigs: fit } = asked();
  const names = [...new Set(older.map((r) => r.rig?.name ?? 'what they say themselves'))].join(' and ');
  const those = older.length === 1 ? '1 recording stays' : `${older.length} recordings stay`;
  const whichever = `Tables are read with ${listed(rigs, 'or')}, whichever fits their columns`;
  const whose = which.length === 1 ? `${which[0].name}: which are its` : `${which.length} tables: which are their`;
  let says = older.length === 0 ? `Tables are read with ${state.rig.name}` : `New tables are read with ${state.rig.name}; ${those} with ${names}. `;
  if (rigs.length > 1) says = fit.length === 0 ? whichever : `${whichever}. More than one fits ${whose} plates? `;
  const mark = JSON.stringify([says, fit]);
  if (line.dataset.says === mark) return;
  line.dataset.says = mark;
  const button = (/** @type {string} */ id, /** @type {string} */ text, /** @type {() => void} */ act) => make('button', { type: 'button', id, onclick: () => {
    act();
    // The button goes, and the focus is not to go with it.
    line.tabIndex = -1;
    line.focus({ preventScroll: true });
    changed();
    void readAll();
  } }, text);
  const it = (/** @type {number} */ n) => (n === 1 ? 'it' : 'them');
  line.replaceChildren(
    says,
    ...fit.map((rig, i) => button(`rig-of-${i + 1}`, `Read ${it(which.length)} with ${rig.name}`, () => readAsked(rig))),
    ...(older.length > 0 ? [button('rig-too', `Read ${it(older.length)} with ${state.rig.name} too`, readOthers)] : []),
  );
}

/** @param {HTMLElement} item @param {Recording} recording */
function update(item, recording) {
  const name = /** @type {HTMLButtonElement} */ (inside(item, '.name'));
  write(name, recording.name);
  name.disabled = recording.status !== 'ready';
  name.setAttribute('aria-pressed', String(recording.id === state.selected));
  item.classList.toggle('selected', recording.id === state.selected);
  item.dataset.status = recording.status;
  item.dataset.aside = recording.aside === '' ? 'no' : 'yes';
  updateWire(inside(item, '.wire-line'), recording);
  item.dataset.counts = counts(recording) ? 'yes' : 'no';
  inside(item, '.sets').setAttribute('aria-label', `Set of ${recording.name}`);
  inside(item, '.remove').setAttribute('aria-label', `Remove ${recording.name}`);
  updateAside(inside(item, '.aside-line'), recording);
  const stop = inside(item, '.stop-line');
  stop.hidden = recording.status !== 'ready' || stopsOf(recording).length === 0;
  const out = `Kept out of the sets: ${recording.overruled.length > 0 ? 'another' : 'a'} note says stop`;
  const [says, overruling] = standingOf(recording).length === 0 ? ['Used by hand although a note says stop', 'Leave out again'] : [out, 'Use it all the same'];
  write(inside(stop, '.stop-says'), says);
  write(inside(stop, '.overrule'), overruling);
  inside(stop, '.overrule').setAttribute('aria-label', `${overruling}: ${recording.name}`);
  for (const input of item.querySelectorAll('input')) if (input.type === 'radio') input.checked = input.value === recording.set;
  const view = recording.view?.tray;
  const fact = (/** @type {string} */ which) => view?.facts.find((f) => f.name === which)?.text ?? '';
  write(
    inside(item, '.brief'),
    recording.status === 'ready' ? `${fact('rate')}; ${fact('mass')}` : recording.problem || 'being read',
  );
  const facts = /** @type {HTMLDetailsElement} */ (inside(item, '.facts'));
  facts.hidden = !view;
  const notes = [...(state.between[recording.id] ?? []), ...(view?.notes ?? [])];
  const count = (/** @type {string} */ level, /** @type {string} */ word) => {
    const n = notes.filter((note) => note.level === level).length;
    return n === 0 ? [] : [`${n} ${word}${n === 1 ? '' : 's'}`];
  };
  write(inside(facts, 'summary'), ['recognised', ...count('stop', 'stop'), ...count('warn', 'warning'), ...count('note', 'note')].join(', '));
  // A stop is always read; warnings of the recording that is looked at.
  const shown = notes.filter((n) => n.level === 'stop' || (n.level === 'warn' && recording.id === state.selected));
  const line = (/** @type {{level: string, text: string}} */ note) => [make('strong', {}, LEVELS[note.level] ?? note.level), ` ${note.text}`];
  inside(item, '.notes').replaceChildren(...shown.map((note) => make('li', { class: note.level }, ...line(note))));
  const list = inside(facts, 'dl');
  if (!view) return list.replaceChildren();
  const row = (/** @type {string} */ name, /** @type {string} */ text) => make('div', {}, make('dt', {}, name), make('dd', {}, text));
  list.replaceChildren(
    ...view.facts.map((f) => row(f.name, f.text)),
    ...recording.others.map((text) => row('also in it', text)),
    ...notes.filter((n) => !shown.includes(n)).map((n) => row((LEVELS[n.level] ?? n.level).toLowerCase(), n.text)),
  );
}

/** The Tray in one line. */
function sum() {
  const all = state.recordings.filter((r) => r.status !== 'refused');
  const noted = all.filter((r) => notesOf(r).some((n) => n.level !== 'note')).length;
  const out = all.filter((r) => r.held && r.set !== '' && r.aside === '' && !counts(r)).length;
  const waits = all.filter((r) => r.status === 'waiting').length;
  const parts = [
    all.length === 0 ? 'no recordings yet' : `${all.length} ${all.length === 1 ? 'recording' : 'recordings'}`,
    noted > 0 ? `${noted} with notes` : '',
    out > 0 ? `${out} kept out` : '',
    waits > 0 ? `${waits} to be wired` : '',
  ];
  return parts.filter((part) => part !== '').join(', ');
}

export function mountTray() {
  mountRefused();
  foldable('tray', sum, () => !state.recordings.some((r) => r.status === 'waiting'));
  const list = at('recordings', HTMLUListElement);
  const rig = at('rig', HTMLParagraphElement);
  const busy = at('busy', HTMLDivElement);
  const labels = at('set-labels', HTMLDivElement);
  at('cancel', HTMLButtonElement).addEventListener('click', cancel);
  for (const set of /** @type {const} */ (['A', 'B'])) {
    const input = at(`label-${set}`, HTMLInputElement);
    input.addEventListener('input', () => {
      state.labels[set] = input.value;
      changed();
      void refresh();
    });
  }
  onChange(() => {
    for (const set of /** @type {const} */ (['A', 'B'])) {
      const input = at(`label-${set}`, HTMLInputElement);
      if (document.activeElement !== input) input.value = state.labels[set];
    }
    labels.hidden = !state.recordings.some((r) => r.held && r.set !== '');
    write(at('busy-text', HTMLSpanElement), state.busy);
    busy.hidden = state.busy === '';
    updateRig(rig);
    const kept = state.recordings.filter((r) => r.status !== 'refused');
    follow(list, kept, (r) => String(r.id), create, update);
  });
}
