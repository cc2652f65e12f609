// Ways in: drop, browse, a folder, paste.

import { at } from './dom.js';
import { isFilm } from './films.js';
import { state, changed } from './state.js';
import { takeIn } from './work.js';

/** @typedef {import('./work.js').Dropped} Dropped */
/** @typedef {{path: string, blob: File}} Found a file and where it lies, from the folder that was handed over */

/** Files that lie in a folder beside recordings and are none. @param {string} name */
const wanted = (name) => !name.split('/').at(-1)?.startsWith('.');

/**
 * All files below a dropped entry; what cannot be read is said, and the others come all the same.
 * @param {FileSystemEntry} entry
 * @returns {Promise<Found[]>}
 */
async function below(entry) {
  const found = /** @type {Found[]} */ ([]);
  try {
    if (entry.isFile) {
      const file = await new Promise((/** @type {(file: File) => void} */ done, fail) => {
        /** @type {FileSystemFileEntry} */ (entry).file(done, fail);
      });
      return [{ path: entry.fullPath.replace(/^\//, '') || file.name, blob: file }];
    }
    const reader = /** @type {FileSystemDirectoryEntry} */ (entry).createReader();
    for (;;) {
      // A folder is handed over in parts; the end is an empty one.
      const some = await new Promise((/** @type {(entries: FileSystemEntry[]) => void} */ done, fail) => {
        reader.readEntries(done, fail);
      });
      if (some.length === 0) break;
      for (const one of some) if (wanted(one.name)) found.push(...(await below(one)));
    }
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    const what = entry.isFile ? 'file' : 'folder';
    state.rigProblems.push({ name: entry.name, text: `${entry.name}: the browser does not hand over this ${what} (${why}); expected a ${what} that may be read; try Browse, or a copy of it` });
    changed();
  }
  return found;
}

/** Of a folder that was browsed to, what lies in hidden folders is left where it is, as when it is dropped. @param {File} file */
const inside = (file) => file.webkitRelativePath.split('/').slice(1).every(wanted);

/** @param {Iterable<File>} files @returns {Found[]} */
const plain = (files) => [...files].filter((f) => wanted(f.name) && inside(f)).map((file) => ({ path: file.webkitRelativePath || file.name, blob: file }));

/** Those of which another has the same name. @param {string[]} all */
const twice = (all) => new Set(all.filter((one, i) => all.indexOf(one) !== i));

/**
 * What files are called: by their own names, and where these are not enough by where they lie in the folder, at last with it.
 * A film keeps to the recording it is named as.
 * @param {Found[]} found @returns {Dropped[]}
 */
function named(found) {
  const whole = found.map(({ path }) => path);
  const within = whole.map((path) => path.replace(/^[^/]*\/(?=.)/, ''));
  const own = whole.map((path) => path.replace(/^.*\//, ''));
  const [unclear, still] = [twice(own), twice(within)];
  const names = found.map((_, i) => (!unclear.has(own[i]) ? own[i] : still.has(within[i]) ? whole[i] : within[i]));
  const stem = (/** @type {string} */ name) => name.replace(/\.[^.]*$/, '').toLowerCase();
  return found.map(({ blob }, i) => {
    const longer = isFilm({ name: own[i], blob }) ? [within[i], whole[i]].find((path) => names.some((name, k) => k !== i && stem(name) === stem(path))) : undefined;
    return { name: longer ?? names[i], blob };
  });
}

/** @param {DataTransfer} data */
async function carried(data) {
  // The list is emptied when this event ends: take the entries first, look into them after.
  const entries = [...data.items].map((item) => (item.kind === 'file' ? item.webkitGetAsEntry() : null));
  const files = plain(data.files);
  if (!entries.some((entry) => entry?.isDirectory)) return named(files);
  const all = [];
  for (const entry of entries) if (entry) all.push(...(await below(entry)));
  return named(all);
}

let pasted = 0;

/** @param {ClipboardEvent} event */
function paste(event) {
  if (event.target instanceof HTMLInputElement || !event.clipboardData) return;
  const files = named(plain(event.clipboardData.files));
  const text = event.clipboardData.getData('text/plain');
  const link = files.length > 0 ? -1 : text.search(/#f\d+[=:]/i);
  if (files.length > 0) void takeIn(files);
  else if (link >= 0) location.hash = text.slice(link);
  else if (text.trim() !== '') {
    pasted += 1;
    const name = text.trimStart().startsWith('{') ? `pasted ${pasted}.rig.json` : `pasted ${pasted}.csv`;
    void takeIn([{ name, blob: new Blob([text]) }]);
  } else return;
  event.preventDefault();
}

export function mountDrop() {
  const veil = at('drop-veil', HTMLDivElement);
  const filesInput = at('files-input', HTMLInputElement);
  const folderInput = at('folder-input', HTMLInputElement);
  at('browse', HTMLButtonElement).addEventListener('click', () => filesInput.click());
  at('folder', HTMLButtonElement).addEventListener('click', () => folderInput.click());
  for (const input of [filesInput, folderInput]) {
    input.addEventListener('change', () => {
      void takeIn(named(plain(input.files ?? [])));
      input.value = '';
    });
  }
  window.addEventListener('paste', paste);
  window.addEventListener('dragover', (event) => {
    event.preventDefault();
    veil.hidden = false;
  });
  window.addEventListener('dragleave', (event) => {
    if (event.relatedTarget === null) veil.hidden = true;
  });
  window.addEventListener('drop', (event) => {
    event.preventDefault();
    veil.hidden = true;
    if (event.dataTransfer) void carried(event.dataTransfer).then(takeIn);
  });
}
