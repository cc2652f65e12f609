// Wiring: columns of a table to channels of plates, with what they come to beside them.

import { make, write } from './dom.js';
import { ask, Ended } from './engine.js';
import { forget, handCorrected, isRemembered, knowHand, lastUsed, layouts, learn, lookOver, usedBy } from './layouts.js';
import { blank, carry, Draft, fromText, lacking, otherFeet, slotsOf, takeBay } from './rig_draft.js';
import { listed, pageRigs } from './rigs.js';
import { saveText } from './save.js';
import { changed, onChange, state } from './state.js';
import { draw } from './svg.js';
import { keepBegun, takeUp } from './wiring_begun.js';
import { fieldsOf, nameOf, trace } from './wiring_fields.js';
import { carryIn } from './wiring_hand.js';
import { readAll, set } from './work.js';

/** @typedef {import('./state.js').Recording} Recording */
/** @typedef {import('./layouts.js').Look} Look */
/** @typedef {{numbers: [string, string][], plates: {label: string, foot: string, outline_m: [number, number][] | null}[],
 *   dots: {foot: string, at_m: [number, number][]}[], target_on_left: boolean, sentence: string, notes: [string, string][]}} Tried */

const REST_MS = 150;

/** @param {number} confidence */
const sure = (confidence) => (confidence >= 0.9 ? 'sure' : confidence >= 0.6 ? 'likely' : confidence > 0.3 ? 'doubtful' : 'a placeholder');

/** Four digits of a number, whatever its size. @param {number} value */
const rough = (value) => String(Number(value.toPrecision(4))).replaceAll('-', '\u2212');

const dialog = make('dialog', { class: 'wiring', id: 'wiring', 'aria-labelledby': 'wiring-title' });
const said = make('p', { class: 'unseen', role: 'status', id: 'wiring-said' });
let open = /** @type {{put: (slot: string, load: import('./wiring_hand.js').Load) => void, nameOf: (column: string) => string, step: (by: -1 | 1) => void} | null} */ (null);
const chip = carryIn(dialog, (slot, load) => open?.put(slot, load), (column) => open?.nameOf(column) ?? column);
/** What was begun and not used: it goes on when the Wiring is opened again. */
const begun = /** @type {WeakMap<Recording, Draft>} */ (new WeakMap());
/** Whether a wiring was begun, and is neither used nor undone: nothing but this page holds it. */
export const wiringBegun = () => state.recordings.some((r) => begun.has(r));
/** Counts what is tried, so that an answer that came too late is known as one. */
let turn = 0;
let timer = 0;

/** The feet from above. @param {Tried} tried */
function plan(tried) {
  const x = (/** @type {number} */ t) => (tried.target_on_left ? -t : t);
  const all = [...tried.plates.flatMap((p) => p.outline_m ?? []), ...tried.dots.flatMap((d) => d.at_m)];
  const reach = Math.max(0.3, ...all.flatMap(([t, a]) => [Math.abs(t), Math.abs(a)]).filter(Number.isFinite)) + 0.12;
  const letters = 0.07 * reach;
  /** @param {string} text @param {number} at_x @param {number} at_y @param {string} anchor */
  const word = (text, at_x, at_y, anchor) => {
    const element = draw('text', { x: at_x, y: at_y, 'text-anchor': anchor, 'font-size': letters });
    element.textContent = text;
    return element;
  };
  const parts = tried.plates.flatMap(({ label, outline_m: corners }) => {
    if (!corners) return [];
    const points = corners.map(([t, a]) => [x(t), -a]);
    const [left, top] = [0, 1].map((k) => Math.min(...points.map((p) => p[k])));
    return [draw('polygon', { class: 'plate', points: points.map((p) => p.join(',')).join(' ') }), word(label, left + 0.3 * letters, top + 1.1 * letters, 'start')];
  });
  for (const { foot, at_m: dots } of tried.dots) {
    for (const [t, a] of dots) {
      const [cx, cy] = [x(t), -a];
      parts.push(foot === 'trail' ? draw('path', { class: foot, d: `M${cx} ${cy - 0.014}l.014 .014l-.014 .014l-.014 -.014z` }) : draw('circle', { class: foot, cx, cy, r: 0.01 }));
    }
  }
  parts.push(word(tried.target_on_left ? '← target' : 'target →', (tried.target_on_left ? -1 : 1) * (reach - 0.02), -reach + 1.2 * letters, tried.target_on_left ? 'start' : 'end'));
  return draw('svg', { class: 'wiring-plan', viewBox: `${-reach} ${-reach} ${2 * reach} ${2 * reach}`, role: 'img', 'aria-label': tried.sentence }, ...parts);
}

/** What a Wiring starts from, and why, in words. @param {Recording} recording @param {Look} look @returns {[import('./rig_draft.js').Rig, string]} */
function start(recording, { before, proposal, problem }) {
  const own = fromText(recording.wired?.text);
  if (own) return [own, recording.status === 'waiting' ? recording.problem : ''];
  const rig = fromText(recording.rig?.text);
  if (rig && recording.status === 'ready') return [rig, `It is read with ${recording.rig?.name}; what is changed here is for this table alone.`];
  const unfit = state.rig ? `${recording.problem}. ${listed(pageRigs(), 'and')} ${pageRigs().length === 1 ? 'stays' : 'stay'} for the other files.` : problem;
  const known = fromText(before?.text);
  if (known) return [known, `${unfit} A table with the same columns was wired before: that wiring is shown.`];
  const proposed = fromText(proposal?.rig);
  if (proposed) return [proposed, proposal?.certain ? `${unfit} Its own names and units leave nothing open: use the wiring as it is shown.` : unfit];
  return [blank(), unfit];
}

/** What a wiring comes to, kept up with it. @param {Recording} recording @param {Uint8Array} bytes @param {Draft} draft */
function outcome(recording, bytes, draft) {
  const numbers = make('dl', { id: 'wiring-numbers' });
  const picture = make('div', {});
  const says = make('p', { class: 'sentence-small' });
  const wrong = make('p', { class: 'wiring-problem', id: 'wiring-problem', role: 'status' });
  const notes = make('ul', { class: 'notes' });
  const use = make('button', { type: 'button', id: 'wiring-use' }, 'Use this wiring');
  const show = async () => {
    const mine = (turn += 1);
    try {
      const open = lacking(draft.rig);
      if (open !== '') throw new Error(open);
      const settings = { ...state.settings, given: {}, filmed: {} };
      const tried = /** @type {Tried} */ (await ask('tryWiring', { file: recording.name, bytes, rig: new TextEncoder().encode(draft.text), settings }));
      if (mine !== turn) return;
      numbers.replaceChildren(...tried.numbers.map(([what, value]) => make('div', {}, make('dt', {}, what), make('dd', {}, value))));
      picture.replaceChildren(plan(tried));
      notes.replaceChildren(...tried.notes.filter(([level]) => level !== 'note').map(([level, note]) => make('li', {}, make('strong', {}, level === 'stop' ? 'Stop' : 'Careful'), ` ${note}`)));
      write(says, tried.sentence);
      write(wrong, '');
      use.disabled = false;
    } catch (error) {
      if (mine !== turn) return;
      for (const place of [numbers, picture, notes]) place.replaceChildren();
      write(says, '');
      write(wrong, error instanceof Ended ? 'The reading was ended; change something to try again' : String(/** @type {any} */ (error).message ?? error));
      use.disabled = true;
    }
    wrong.hidden = wrong.textContent === '';
    dialog.removeAttribute('aria-busy');
  };
  const soon = () => {
    dialog.setAttribute('aria-busy', 'true');
    window.clearTimeout(timer);
    timer = window.setTimeout(() => void show(), REST_MS);
  };
  return { parts: [wrong, numbers, picture, says, notes], use, soon };
}

/** Opens the Wiring of a table. @param {Recording} recording */
export async function openWiring(recording) {
  let look;
  try {
    look = await lookOver(recording);
  } catch (error) {
    state.fault = error instanceof Error ? error.message : String(error);
    return changed();
  }
  const { bytes, table, proposal } = look;
  // What is still being tried was another Wiring’s.
  turn += 1;
  const [rig, why] = start(recording, look);
  const draft = begun.get(recording) ?? new Draft(rig);
  const again = begun.has(recording) ? null : fromText(takeUp(table.fingerprint));
  if (again) {
    draft.rig = again;
    draft.keep('what was begun before the page was loaded again', 'target', false);
  }
  const left = draft.at > 0;
  const name = `${recording.name.replace(/\.[^.]*$/, '')}.rig.json`;
  const parts = make('div', {});
  const { parts: comesTo, use, soon } = outcome(recording, bytes, draft);
  const index = new Map(table.list.map((c, i) => [c.reference, i]));
  const listed = table.list.map((c, i) =>
    make('li', { 'data-column': c.reference }, make('span', { class: 'column' }, nameOf(table, i)), make('span', { class: 'goes' }), trace(table.columns[i]),
      make('span', { class: 'span' }, c.span ? c.span.map(rough).join(' to ') : 'no numbers')),
  );
  const save = make('button', { type: 'button', id: 'wiring-save', onclick: () => saveText(draft.text, 'application/json', name) }, 'Save as a rig file');
  const back = make('button', { type: 'button', id: 'wiring-undo', 'aria-keyshortcuts': 'Control+Z', onclick: () => step(-1) });
  const on = make('button', { type: 'button', id: 'wiring-redo', 'aria-keyshortcuts': 'Control+Shift+Z', onclick: () => step(1) });

  /** Brings what stands beside the fields up to the rig. */
  const freshen = () => {
    const slots = slotsOf(draft.rig);
    for (const { slot, column } of slots) {
      const box = parts.querySelector(`[data-slot="${slot}"]`);
      const list = box?.querySelector('select');
      const place = /** @type {HTMLElement | null} */ (box?.querySelector('.slot-trace'));
      if (!list || !place) continue;
      list.value = column;
      // A column that the table does not have: the rig's own word for it.
      if (list.value !== column) {
        list.append(make('option', { value: column }, `${column}: not in this table`));
        list.value = column;
      }
      const i = index.get(column);
      if (i === undefined) delete place.dataset.column;
      else place.dataset.column = column;
      place.replaceChildren(...(i === undefined ? [] : [trace(table.columns[i])]));
    }
    for (const row of listed) {
      const to = slots.filter((s) => s.column === row.dataset.column).map((s) => s.words);
      write(/** @type {Element} */ (row.querySelector('.goes')), to.length > 0 ? `→ ${to.join(', ')}` : 'not wired');
      row.classList.toggle('wired', to.length > 0);
    }
    const words = draft.next;
    for (const [i, button, word] of /** @type {const} */ ([[0, back, 'Undo'], [1, on, 'Redo']])) {
      button.disabled = words[i] === '';
      button.textContent = words[i] === '' ? word : `${word} ${words[i]}`;
    }
    save.disabled = lacking(draft.rig) !== '';
    if (draft.at > 0) begun.set(recording, draft);
    else begun.delete(recording);
    keepBegun(table.fingerprint, draft.at > 0 ? draft.text : '');
  };
  /** @param {string} field */
  const focus = (field) => {
    const place = /** @type {HTMLElement | null} */ (parts.querySelector(`[data-field="${CSS.escape(field)}"]`));
    place?.focus();
    return place !== null;
  };
  const layOut = () => {
    // Where the names say whose foot is where, another rig says only where the plates lie.
    const feet = proposal !== null && proposal.choices.some((c) => c.about === 'feet') && !proposal.questions.some((q) => q.id === 'feet' || (q.id === 'handed' && layouts().hand === null));
    const given = [...pageRigs().map((from, i) => ({ from, id: i === 0 ? 'wiring-bay' : `wiring-bay-${i + 1}` })), { from: lastUsed(), id: 'wiring-bay-last' }].flatMap(({ from, id }) => {
      const other = fromText(from?.text);
      if (!from || !other || (id === 'wiring-bay-last' && from.text === recording.wired?.text)) return [];
      const take = () => {
        takeBay(draft.rig, other, feet);
        done('taking the bay', id, { again: true, say: `Places and target are those of ${from.name}` });
        document.getElementById(id)?.focus();
      };
      return [{ name: from.name, id, take }];
    });
    parts.replaceChildren(...fieldsOf({ rig: draft.rig, table, done }, given));
  };
  /** @type {import('./wiring_fields.js').Bay['done']} */
  const done = (words, field, { again = false, focus: to = field, say = '' } = {}) => {
    if (!draft.keep(words, field, !say)) return;
    if (again) {
      layOut();
      focus(to);
    }
    freshen();
    if (say) write(said, say);
    soon();
  };
  const step = (/** @type {-1 | 1} */ by) => {
    const from = document.activeElement;
    const kept = from instanceof HTMLElement ? from.dataset.field : undefined;
    const went = draft.go(by);
    if (!went) return;
    layOut();
    freshen();
    // The focus stays where it was, or goes to what has changed.
    if (from !== back && from !== on) void ((kept && focus(kept)) || focus(went.field) || use.focus());
    else if (/** @type {HTMLButtonElement} */ (from).disabled) (from === back ? on : back).focus();
    write(said, `${by < 0 ? 'Undone' : 'Done again'}: ${went.words}`);
    soon();
  };
  const nameOfColumn = (/** @type {string} */ column) => {
    const i = index.get(column);
    return i === undefined ? column : nameOf(table, i);
  };
  open = {
    step,
    nameOf: nameOfColumn,
    put: (slot, { column, slot: from }) => {
      const words = slotsOf(draft.rig).find((s) => s.slot === slot)?.words ?? slot;
      carry(draft.rig, slot, column, from);
      done(`${nameOfColumn(column)} to ${words}`, slot, { again: true, say: `${nameOfColumn(column)} goes to ${words}` });
    },
  };

  const keep = make('input', { type: 'checkbox', id: 'wiring-keep', onchange: () => {
    if (keep.checked || !isRemembered(table.fingerprint)) return;
    forget(table.fingerprint);
    write(said, 'This browser has forgotten the wiring of these columns');
  } });
  keep.checked = isRemembered(table.fingerprint);
  use.addEventListener('click', async () => {
    const wiring = usedBy(look, name, draft.text);
    learn(table.fingerprint, wiring, keep.checked);
    begun.delete(recording);
    keepBegun(table.fingerprint, '');
    // Several swings of one file are one table.
    for (const one of state.recordings) if (one === recording || one.blob === recording.blob) Object.assign(one, { wired: wiring, said: 'Wired by hand', status: 'reading', held: false });
    // Those that wait are looked over again: the layout is known now.
    for (const other of state.recordings) if (other.status === 'waiting') other.status = 'reading';
    dialog.close();
    changed();
    await readAll();
  });
  const asked = proposal?.questions ?? [];
  /** The hand is the player’s, not this table’s: what waits for it is looked over again. @param {string} hand */
  const sayHand = (hand) => {
    const other = hand !== state.settings.handed;
    const only = draft.at === 0 && asked.filter((q) => q.matters).length === 1;
    knowHand(hand);
    // It is wired by its own words now.
    if (only) dialog.close();
    set({ handed: hand });
    if (only) return;
    if (other) otherFeet(draft.rig, fromText(proposal?.rig)?.target_azimuth_deg);
    dialog.querySelector('[data-asked="handed"]')?.replaceChildren(`The player swings ${hand}-handed.`);
    layOut();
    done('which hand the player plays', 'plate 0 foot', { again: true, say: `The player swings ${hand}-handed` });
    focus('plate 0 foot');
  };
  const hands = () => ['right', 'left'].map((hand) => make('button', { type: 'button', class: 'quiet', id: `wiring-${hand}`, onclick: () => sayHand(hand) }, `${hand[0].toUpperCase()}${hand.slice(1)}-handed`));
  const evidence = make('details', {}, make('summary', {}, 'Why it is proposed so'), make('dl', {}, ...(proposal?.choices ?? []).map((c) => make('div', {}, make('dt', {}, `${c.what}: ${sure(c.confidence)}`), make('dd', {}, `${c.value}. ${c.evidence.join('; ')}`)))));
  layOut();
  freshen();
  dialog.replaceChildren(
    make('div', { class: 'bar' }, make('h2', { id: 'wiring-title' }, `Wiring of ${recording.name}`), make('button', { type: 'button', class: 'quiet', id: 'wiring-close', onclick: () => dialog.close() }, 'Close')),
    make('p', { class: 'hint' }, `${table.width} columns of ${table.rows} rows, ${table.written}.`),
    ...(why.trim() === '' ? [] : [make('p', { class: 'why' }, why.trim())]),
    ...(left ? [make('p', { class: 'why' }, 'It goes on where it was left.')] : []),
    ...(asked.length > 0 ? [make('ul', { class: 'asked', 'aria-label': 'What is asked' }, ...asked.map((q) => make('li', { 'data-asked': q.id }, q.text, ...(q.id === 'handed' ? hands() : []))))] : []),
    make(
      'div',
      { class: 'wiring-columns' },
      make(
        'section',
        { class: 'from', 'aria-labelledby': 'wiring-from' },
        make('h3', { id: 'wiring-from' }, 'Columns'),
        make('p', { class: 'hint' }, 'Carry a column to its channel, or press it and then the channel. The channels’ lists do the same.'),
        make('div', { class: 'heard', tabindex: '0', role: 'region', 'aria-label': 'Columns of the table' }, make('ul', {}, ...listed)),
      ),
      make('div', { class: 'to' }, parts, evidence),
      make(
        'div',
        { class: 'comes-to' },
        make('h3', {}, 'What it comes to'),
        ...comesTo,
        make('div', { class: 'buttons' }, save),
        make('label', { class: 'keep', for: 'wiring-keep' }, keep, 'Remember this wiring in this browser'),
      ),
    ),
    make('div', { class: 'wiring-foot' }, chip, use, make('div', { class: 'steps', role: 'group', 'aria-label': 'Steps of this wiring' }, back, on)),
    said,
  );
  write(said, '');
  dialog.showModal();
  soon();
}

/** The line of a recording that opens its Wiring. @param {Recording} recording */
export const wireLine = (recording) =>
  make('div', { class: 'wire-line', hidden: true }, make('span', {}), ' ', make('button', { type: 'button', onclick: () => void openWiring(recording) }, 'Wire it…'));

/** A table that a rig file reads, and that is looked at. @param {Recording} recording */
const byRig = ({ id, rig, view }) => id === state.selected && !!rig && !!view?.tray.facts.some((f) => f.name === 'format' && /^(Table|Workbook|OpenSim)/.test(f.text));

/** @param {HTMLElement} line @param {Recording} recording */
export function updateWire(line, recording) {
  const waiting = recording.status === 'waiting';
  line.hidden = !waiting && !(recording.status === 'ready' && (recording.wired || byRig(recording)));
  write(/** @type {Element} */ (line.firstElementChild), waiting || recording.wired ? recording.said || 'Wired before' : '');
  const button = /** @type {Element} */ (line.lastElementChild);
  write(button, waiting ? 'Wire it…' : 'Wiring…');
  button.setAttribute('aria-label', `${waiting ? 'Wire it…' : 'Wiring…'} ${recording.name}`);
}

let hand = /** @type {string | null} */ (null);

/** What waits for the player’s hand, or was wired for the other one, follows it. */
function handSaid() {
  const now = layouts().hand;
  if (now === hand) return;
  hand = now;
  if (!handCorrected()) return;
  changed();
  void readAll();
}

export function mountWiring() {
  document.body.append(dialog);
  onChange(handSaid);
  dialog.addEventListener('keydown', (event) => {
    const key = event.key.toLowerCase();
    if (!(event.ctrlKey || event.metaKey) || event.altKey || (key !== 'z' && !(key === 'y' && event.ctrlKey && !event.shiftKey))) return;
    // A name that is typed undoes its own letters.
    if (event.target instanceof HTMLInputElement && event.target.type === 'text') return;
    event.preventDefault();
    open?.step(key === 'y' || event.shiftKey ? 1 : -1);
  });
}
