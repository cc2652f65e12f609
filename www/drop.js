// Ways in: drop, browse, a folder, paste.

import { at } from './dom.js';
import { state, changed } from './state.js';
import { takeIn } from './work.js';

/** @typedef {import('./work.js').Dropped} Dropped */

/** Files that lie in a folder beside recordings and are none. @param {string} name */
const wanted = (name) => !name.split('/').at(-1)?.startsWith('.');

/**
 * All files below a dropped entry; what cannot be read is said, and the others come all the same.
 * @param {FileSystemEntry} entry
 * @returns {Promise<Dropped[]>}
 */
async function below(entry) {
  const found = /** @type {Dropped[]} */ ([]);
  try {
    if (entry.isFile) {
      const file = await new Promise((/** @type {(file: File) => void} */ done, fail) => {
        /** @type {FileSystemFileEntry} */ (entry).file(done, fail);
      });
      return [{ name: file.name, blob: file }];
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

/** @param {Iterable<File>} files */
const plain = (files) => [...files].filter((f) => wanted(f.name) && inside(f)).map((file) => ({ name: file.name, blob: file }));

/** @param {DataTransfer} data */
async function carried(data) {
  // The list is emptied when this event ends: take the entries first, look into them after.
  const entries = [...data.items].map((item) => (item.kind === 'file' ? item.webkitGetAsEntry() : null));
  const files = plain(data.files);
  if (!entries.some((entry) => entry?.isDirectory)) return files;
  const all = [];
  for (const entry of entries) if (entry) all.push(...(await below(entry)));
  return all;
}

let pasted = 0;

/** @param {ClipboardEvent} event */
function paste(event) {
  if (event.target instanceof HTMLInputElement || !event.clipboardData) return;
  const files = plain(event.clipboardData.files);
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
      void takeIn(plain(input.files ?? []));
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
