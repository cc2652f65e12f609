// A watched folder: each new export appears in the Tray by itself once it is complete.

import { make } from './dom.js';
import { isFilm } from './films.js';
import { changed, onChange, state } from './state.js';
import { takeIn } from './work.js';

/** @typedef {{values: () => AsyncIterable<FileSystemHandle>, name: string}} Folder */
/** @typedef {{size: number, modified: number, since: number, taken: boolean}} Sight  what a file looked like, and since when */

const LOOK_EVERY_MS = 500;
/** A file that has not changed for so long, over two looks, is complete. */
const QUIET_MS = 500;
/** Files already taken that are looked at again in one round: an export may overwrite its forerunner. */
const OLD_ONES_A_ROUND = 40;
const NAMES = /\.(c3d|csv|tsv|txt|dat|asc|mot|sto|json)$/i;
const UNFINISHED = /^[.~]|\.(tmp|part|partial|crswap|crdownload)$/i;

let folder = /** @type {Folder | null} */ (null);
let sights = /** @type {Map<string, Sight>} */ (new Map());
let timer = 0;
let turn = 0;
let looking = false;
let ended = '';
let waiting = 0;
let arrived = 0;
/** Files that lay there when the folder was chosen. */
let lying = /** @type {string[]} */ ([]);
let set = /** @type {import('./state.js').SetName} */ ('A');

/** @param {string} name */
const wanted = (name) => !UNFINISHED.test(name) && (NAMES.test(name) || isFilm({ name, blob: new Blob() }));

/** Names only. @param {Folder} from */
async function names(from) {
  const found = /** @type {FileSystemFileHandle[]} */ ([]);
  for await (const handle of from.values()) {
    if (handle.kind === 'file' && wanted(handle.name)) found.push(/** @type {FileSystemFileHandle} */ (handle));
  }
  return found;
}

/** @param {FileSystemFileHandle} handle @returns {Promise<File | null>} null while another program holds it, or when it is gone again */
async function peek(handle) {
  try {
    return await handle.getFile();
  } catch (error) {
    if (error instanceof DOMException && error.name === 'NotAllowedError') throw error;
    return null;
  }
}

/** Whether its bytes can be had. @param {File} file */
async function readable(file) {
  try {
    await file.slice(0, 1).arrayBuffer();
    await file.slice(-1).arrayBuffer();
    return true;
  } catch {
    return false;
  }
}

async function look() {
  const here = folder;
  if (!here || looking) return;
  looking = true;
  window.clearTimeout(timer);
  const began = performance.now();
  try {
    const handles = await names(here);
    const old = handles.filter((h) => sights.get(h.name)?.taken);
    const again = new Set(old.length <= OLD_ONES_A_ROUND ? old : Array.from({ length: OLD_ONES_A_ROUND }, (_, i) => old[(turn + i) % old.length]));
    turn += OLD_ONES_A_ROUND;
    const complete = [];
    let unfinished = 0;
    for (const handle of handles) {
      const sight = sights.get(handle.name);
      if (sight?.taken && !again.has(handle)) continue;
      const file = await peek(handle);
      if (!file) {
        unfinished += sight?.taken ? 0 : 1;
        continue;
      }
      const unchanged = sight && sight.size === file.size && sight.modified === file.lastModified;
      if (unchanged && sight.taken) continue;
      if (!unchanged) sights.set(handle.name, { size: file.size, modified: file.lastModified, since: began, taken: false });
      const ready = unchanged && file.size > 0 && began - sight.since >= QUIET_MS && (await readable(file));
      if (ready) {
        sight.taken = true;
        complete.push({ name: file.name, blob: file, set });
      } else unfinished += 1;
    }
    // A name that is gone may come back as another file.
    const there = new Set(handles.map((h) => h.name));
    for (const name of sights.keys()) if (!there.has(name)) sights.delete(name);
    if (folder !== here) return;
    if (complete.length > 0 || unfinished !== waiting) {
      arrived += complete.length;
      waiting = unfinished;
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
  const gone = error instanceof DOMException && error.name === 'NotFoundError';
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
    if (!(error instanceof DOMException && error.name === 'AbortError')) {
      ended = `The folder cannot be watched (${error instanceof Error ? error.message : error}); drop the files on the page instead`;
    }
    changed();
    return;
  }
  stop();
  [sights, turn, arrived] = [new Map(), 0, 0];
  folder = chosen;
  try {
    for (const handle of await names(chosen)) {
      const file = await peek(handle);
      // What lay there counts as taken until it changes; the person is asked about it.
      if (file) sights.set(handle.name, { size: file.size, modified: file.lastModified, since: 0, taken: true });
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
    for (const handle of await names(here)) {
      const file = asked.has(handle.name) ? await peek(handle) : null;
      if (file) files.push({ name: file.name, blob: file, set });
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
  const into = make('select', { id: 'watch-set', onchange: () => {
    set = /** @type {import('./state.js').SetName} */ (into.value);
  } });
  for (const [value, text] of [['A', 'A'], ['B', 'B'], ['', 'neither']]) into.append(make('option', { value }, text));
  const setLine = make('label', { for: 'watch-set' }, 'new swings go to set', into);
  const place = make('div', { class: 'watch' }, says, take, setLine, end, fault);
  document.querySelector('#tray #folder')?.after(start);
  document.querySelector('#tray .intake')?.after(place);
  onChange(() => {
    start.hidden = folder !== null;
    for (const element of [says, setLine, end]) element.hidden = folder === null;
    take.hidden = folder === null || lying.length === 0;
    take.textContent = `Take the ${lying.length} there too`;
    const half = waiting > 0 ? `; ${waiting} not complete yet` : '';
    const text = folder ? `Watching ${folder.name}: ${arrived} taken in${half}. Recordings, tables, rig files and films that lie in it directly.` : '';
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
