// A watched folder: each new export appears in the Tray by itself once it is complete.

import { make } from './dom.js';
import { ask } from './engine.js';
import { changed, onChange, state } from './state.js';
import { against, called, calledAgain, copied, DEPTH, is, isForUs, MOST_FOLDERS, peek, walk } from './watch_files.js';
import { readAll, remove, takeIn } from './work.js';

/** @typedef {import('./watch_files.js').Folder} Folder */
/** @typedef {import('./work.js').Dropped} Dropped */
/** @typedef {import('./state.js').Recording} Recording */
/** @typedef {{size: number, modified: number, since: number, taken: boolean}} Sight  what a file looked like, and since when */

const LOOK_EVERY_MS = 500;
/** A file that has not changed for so long, over two looks, is complete. */
const QUIET_MS = 400;
/** Files already taken that are looked at again in one round: an export may overwrite its forerunner. */
const OLD_ONES_A_ROUND = 40;

let folder = /** @type {Folder | null} */ (null);
let sights = /** @type {Map<string, Sight>} */ (new Map());
let timer = 0;
let turn = 0;
let looking = false;
let ended = '';
let waiting = 0;
let arrived = 0;
let rounds = 0;
const place = make('div', { class: 'watch' });
/** Whether every folder below is looked into. */
let all = true;
/** Files that lay there when the folder was chosen, by their path. */
let lying = /** @type {string[]} */ ([]);
/** What was last taken from each path. */
let taken = /** @type {Map<string, Blob>} */ (new Map());
let set = /** @type {import('./state.js').SetName} */ ('A');
/** The last export that was written over, and what is in the Tray of the earlier one. */
let again = /** @type {{text: string, earlier: Recording[]} | null} */ (null);

/**
 * What is to be done with a complete file.
 * @param {string} path @param {Blob} blob
 * @returns {Promise<Dropped | null>} nothing when it is no news
 */
async function received(path, blob) {
  if (!(await isForUs(path, blob))) return null;
  const before = taken.get(path);
  taken.set(path, blob);
  lying = lying.filter((one) => one !== path);
  const fresh = { name: called(path, blob), blob, set };
  if (!before || blob instanceof File) return fresh;
  const how = await against(before, blob);
  if (how === 'same') {
    taken.set(path, before);
    return null;
  }
  const earlier = state.recordings.filter((r) => r.blob === before);
  const [first] = earlier;
  if (!first) return fresh;
  if (earlier.length === 1 && first.status !== 'reading' && (how === 'grown' || first.status === 'refused')) {
    // It was not complete after all.
    if (first.held) void ask('forget', { id: first.id }).catch(() => {});
    Object.assign(first, { blob, status: 'reading', held: false, stale: false, problem: '' });
    again = { text: `${first.name} was still being written: it is read anew.`, earlier: [] };
    void readAll();
    return null;
  }
  const name = calledAgain(first.name.replace(/, swing \d+ of \d+$/, ''));
  again = { text: `${path} was written again and is another now: it is in the Tray beside the earlier one, as ${name}. Both count until you remove one.`, earlier };
  return { name, blob, set: first.set };
}

async function look() {
  const here = folder;
  if (!here || looking) return;
  looking = true;
  window.clearTimeout(timer);
  const began = performance.now();
  try {
    const there = await walk(here);
    const known = new Set(there.files.map((f) => f.path));
    const old = there.files.filter((f) => sights.get(f.path)?.taken);
    const anew = new Set(old.length <= OLD_ONES_A_ROUND ? old : Array.from({ length: OLD_ONES_A_ROUND }, (_, i) => old[(turn + i) % old.length]));
    turn += OLD_ONES_A_ROUND;
    const complete = [];
    let unfinished = 0;
    for (const one of there.files) {
      const { path, handle } = one;
      const sight = sights.get(path);
      if (sight?.taken && !anew.has(one)) continue;
      const file = await peek(handle);
      if (!file) {
        unfinished += sight?.taken ? 0 : 1;
        continue;
      }
      const unchanged = sight && sight.size === file.size && sight.modified === file.lastModified;
      if (unchanged && sight.taken) continue;
      if (!unchanged) sights.set(path, { size: file.size, modified: file.lastModified, since: began, taken: false });
      const blob = unchanged && file.size > 0 && began - sight.since >= QUIET_MS ? await copied(file) : null;
      if (folder !== here) return;
      if (blob && sight) {
        sight.taken = true;
        const news = await received(path, blob);
        if (news) complete.push(news);
      } else unfinished += 1;
    }
    // A name that is gone may come back as another file.
    for (const path of sights.keys()) if (!known.has(path)) sights.delete(path);
    if (folder !== here) return;
    rounds += 1;
    place.dataset.rounds = String(rounds);
    if (complete.length > 0 || unfinished !== waiting || all !== there.all) {
      arrived += complete.length;
      [waiting, all] = [unfinished, there.all];
      changed();
    }
    if (complete.length > 0) void takeIn(complete);
  } catch (error) {
    if (folder === here) lost(error);
  } finally {
    looking = false;
    if (folder) timer = window.setTimeout(() => void look(), Math.max(LOOK_EVERY_MS - (performance.now() - began), 50));
  }
}

/** @param {unknown} error */
function lost(error) {
  const name = folder?.name ?? 'the folder';
  const gone = is(error, 'NotFoundError');
  stop();
  ended = gone
    ? `${name}: the folder is no longer there, so it is not watched any more; choose it again where it is now`
    : `${name}: the browser no longer lets this page look into it, so it is not watched any more; choose it again`;
  changed();
}

function stop() {
  folder = null;
  window.clearTimeout(timer);
  waiting = 0;
  lying = [];
  again = null;
  changed();
}

async function choose() {
  ended = '';
  /** @type {Folder} */
  let chosen;
  try {
    chosen = await /** @type {any} */ (window).showDirectoryPicker({ id: 'exports', mode: 'read' });
  } catch (error) {
    // Closing the picker is an answer, not a fault.
    if (!is(error, 'AbortError')) {
      ended = `The folder cannot be watched (${error instanceof Error ? error.message : error}); drop the files on the page instead`;
    }
    changed();
    return;
  }
  stop();
  [sights, taken, turn, arrived, rounds] = [new Map(), new Map(), 0, 0, 0];
  folder = chosen;
  try {
    for (const { path, handle } of (await walk(chosen)).files) {
      const file = await peek(handle);
      // What lay there counts as taken until it changes; the person is asked about it.
      if (file) sights.set(path, { size: file.size, modified: file.lastModified, since: 0, taken: true });
    }
    lying = [...sights.keys()];
    changed();
    void look();
  } catch (error) {
    lost(error);
  }
}

async function takeLying() {
  const here = folder;
  if (!here) return;
  const asked = new Set(lying);
  lying = [];
  try {
    const files = [];
    for (const { path, handle } of (await walk(here)).files) {
      const file = asked.has(path) ? await peek(handle) : null;
      const blob = file && (await copied(file));
      const news = blob && (await received(path, blob));
      if (news) files.push(news);
    }
    arrived += files.length;
    changed();
    await takeIn(files);
  } catch (error) {
    lost(error);
  }
}

/** Only where the browser can: elsewhere dropping does the same job. */
export function mountWatch() {
  if (!('showDirectoryPicker' in window)) return;
  const start = make('button', { type: 'button', id: 'watch', onclick: () => void choose() }, 'Watch a folder…');
  const end = make('button', { type: 'button', id: 'watch-stop', onclick: () => {
    stop();
    start.hidden = false;
    start.focus();
  } }, 'Stop watching');
  const says = make('p', { id: 'watch-says', role: 'status' });
  const fault = make('p', { id: 'watch-fault', role: 'alert' });
  const take = make('button', { type: 'button', id: 'watch-take', onclick: () => void takeLying() });
  const twice = make('p', { id: 'watch-again', role: 'status' });
  const newest = make('button', { type: 'button', id: 'watch-newest', onclick: () => {
    for (const recording of again?.earlier ?? []) if (state.recordings.includes(recording)) remove(recording);
    again = null;
    end.focus();
    changed();
  } }, 'Remove the earlier one');
  const into = make('select', { id: 'watch-set', onchange: () => {
    set = /** @type {import('./state.js').SetName} */ (into.value);
  } });
  for (const [value, text] of [['A', 'A'], ['B', 'B'], ['', 'neither']]) into.append(make('option', { value }, text));
  const setLine = make('label', { for: 'watch-set' }, 'new swings go to set', into);
  place.append(says, twice, newest, take, setLine, end, fault);
  document.querySelector('#tray #folder')?.after(start);
  document.querySelector('#tray .intake')?.after(place);
  onChange(() => {
    start.hidden = folder !== null;
    for (const element of [says, setLine, end]) element.hidden = folder === null;
    take.hidden = folder === null || lying.length === 0;
    take.textContent = `Take the ${lying.length} there too`;
    const half = waiting > 0 ? `; ${waiting} not complete yet` : '';
    const cut = all ? '' : ` Not all of the folders below are looked into: there are more than ${MOST_FOLDERS}, or deeper ones.`;
    const text = folder ? `Watching ${folder.name}: ${arrived} taken in${half}. Recordings, tables, rig files and films that lie in it, or up to ${DEPTH} folders deeper.${cut}` : '';
    const more = again?.text ?? '';
    if (twice.textContent !== more) twice.textContent = more;
    twice.hidden = more === '';
    newest.hidden = !again?.earlier.some((r) => state.recordings.includes(r));
    if (says.textContent !== text) says.textContent = text;
    if (fault.textContent !== ended) fault.textContent = ended;
    fault.hidden = ended === '';
    place.hidden = folder === null && ended === '';
    if (into.value !== set) into.value = set;
    for (const option of into.options) {
      const name = option.value === 'A' || option.value === 'B' ? `${option.value} ${state.labels[option.value]}` : 'neither';
      if (option.text !== name) option.text = name;
    }
  });
  // A tab in the background is slowed by the browser: look at once when it comes back.
  document.addEventListener('visibilitychange', () => void look());
}
