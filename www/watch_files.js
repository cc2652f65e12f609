// What lies in a watched folder: which files, whether they are complete, and what came of them before.

import { isFilm } from './films.js';
import { state } from './state.js';

/** @typedef {{values: () => AsyncIterable<FileSystemHandle>, name: string}} Folder */
/** @typedef {{path: string, handle: FileSystemFileHandle}} Found */
/** @typedef {import('./state.js').Recording} Recording */

/** Folders below the chosen one that are looked into: how deep, and how many. */
export const DEPTH = 3;
export const MOST_FOLDERS = 200;
const NAMES = /\.(c3d|csv|tsv|txt|dat|asc|mot|sto|json|zip|xlsx|xlsm)$/i;
const UNFINISHED = /^[.~]|\.(tmp|part|partial|crswap|crdownload)$/i;

/** @param {string} name */
const wanted = (name) => !UNFINISHED.test(name) && (NAMES.test(name) || isFilm({ name, blob: new Blob() }));

/** @param {unknown} error @param {string} name */
export const is = (error, name) => error instanceof DOMException && error.name === name;

/**
 * The files that could be exports, in the folder and in those below it.
 * @param {Folder} from
 * @returns {Promise<{files: Found[], all: boolean}>} whether there were no more folders than are looked into
 */
export async function walk(from) {
  const files = /** @type {Found[]} */ ([]);
  let folders = 0;
  let all = true;
  /** @param {Folder} folder @param {string} above @param {number} depth */
  const into = async (folder, above, depth) => {
    for await (const handle of folder.values()) {
      const path = above + handle.name;
      if (handle.kind === 'file') {
        if (wanted(handle.name)) files.push({ path, handle: /** @type {FileSystemFileHandle} */ (handle) });
        continue;
      }
      if (handle.name.startsWith('.')) continue;
      if (depth >= DEPTH || folders >= MOST_FOLDERS) {
        all = false;
        continue;
      }
      folders += 1;
      try {
        await into(/** @type {FileSystemDirectoryHandle} */ (handle), `${path}/`, depth + 1);
      } catch (error) {
        // A folder below may go; without the chosen one there is nothing to watch.
        if (!is(error, 'NotFoundError')) throw error;
      }
    }
  };
  await into(from, '', 0);
  return { files, all };
}

/** @param {FileSystemFileHandle} handle @returns {Promise<File | null>} null while another program holds it, or when it is gone again */
export async function peek(handle) {
  try {
    return await handle.getFile();
  } catch (error) {
    if (is(error, 'NotAllowedError')) throw error;
    return null;
  }
}

/**
 * Its bytes, apart from the disk: an export that is written over takes nothing from the page. A film stays where it is.
 * @param {File} file @returns {Promise<Blob | null>} null when they cannot be had
 */
export async function copied(file) {
  try {
    if (!isFilm({ name: file.name, blob: file })) return new Blob([await file.arrayBuffer()], { type: file.type });
    await file.slice(0, 1).arrayBuffer();
    await file.slice(-1).arrayBuffer();
    return file;
  } catch {
    return null;
  }
}

/** Of JSON files only rigs: what this page saved may lie there too. @param {string} path @param {Blob} blob */
export async function isForUs(path, blob) {
  return !/\.json$/i.test(path) || (await blob.text()).includes('"footing-rig/');
}

/** Whether the newer holds the older, and how much more. @param {Blob} older @param {Blob} newer @returns {Promise<'same' | 'grown' | 'other'>} */
export async function against(older, newer) {
  if (newer.size < older.size) return 'other';
  const [a, b] = (await Promise.all([older, newer.slice(0, older.size)].map((blob) => blob.arrayBuffer()))).map((buffer) => new Uint8Array(buffer));
  if (a.some((byte, i) => byte !== b[i])) return 'other';
  return newer.size === older.size ? 'same' : 'grown';
}

const base = (/** @type {string} */ path) => path.slice(path.lastIndexOf('/') + 1);
const stem = (/** @type {string} */ name) => name.replace(/\.[^.]*$/, '').toLowerCase();

/** What a file is called in the Tray: with its folder when another of its name is there. @param {string} path @param {Blob} blob */
export function called(path, blob) {
  const name = base(path);
  if (isFilm({ name, blob })) return state.recordings.some((r) => stem(r.name) === stem(path)) ? path : name;
  return state.recordings.some((r) => r.name === name) ? path : name;
}

/** The same with a number, for an export that was written over. @param {string} name */
export function calledAgain(name) {
  const dot = name.lastIndexOf('.');
  const [front, end] = dot > 0 ? [name.slice(0, dot), name.slice(dot)] : [name, ''];
  for (let n = 2; ; n += 1) {
    const again = `${front} (${n})${end}`;
    if (!state.recordings.some((r) => r.name === again || r.name.startsWith(`${again}, swing `))) return again;
  }
}
