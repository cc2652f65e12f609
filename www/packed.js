// Zip archives and workbooks: taken apart by a module of their own, in a worker that lives only as long as there are some.

import { packedPart } from './parts.js';
import { changed, state } from './state.js';

/** @typedef {import('./work.js').Dropped} Dropped */
/** @typedef {{files: {name: string, bytes: Uint8Array<ArrayBuffer>}[], problems: string[], leftOut?: string}} Unpacked */

let loaded = /** @type {Promise<{module: WebAssembly.Module, script: string}> | null} */ (null);
const stopped = /** @type {Set<() => void>} */ (new Set());

/** The module, compiled when the first packed file comes. */
function load() {
  loaded ??= (async () => {
    const { wasmBytes, workerSource } = await packedPart();
    return { module: await WebAssembly.compile(await wasmBytes()), script: workerSource };
  })();
  // What could not be had now may be had later.
  loaded.catch(() => (loaded = null));
  return loaded;
}

/** A zip archive, a workbook too, begins with these; an empty one with the second. @param {Blob} blob */
async function isPacked(blob) {
  try {
    const [a, b, c, d] = new Uint8Array(await blob.slice(0, 4).arrayBuffer());
    return a === 0x50 && b === 0x4b && ((c === 3 && d === 4) || (c === 5 && d === 6));
  } catch {
    // Whoever reads it next says why it cannot be read.
    return false;
  }
}

/** @param {Dropped} file @returns {Promise<Unpacked>} */
async function apart({ name, blob }) {
  const [bytes, { module, script }] = await Promise.all([blob.arrayBuffer(), load()]);
  const address = URL.createObjectURL(new Blob([script], { type: 'text/javascript' }));
  const worker = new Worker(address);
  let stop = () => {};
  try {
    return await new Promise((done, fail) => {
      stop = () => fail(new Error(`${name}: cancelled before it was unpacked; drop it again`));
      stopped.add(stop);
      worker.onmessage = ({ data }) => (data.problem === undefined ? done(data.result) : fail(new Error(data.problem)));
      worker.onerror = (event) => fail(new Error(`${name}: it cannot be unpacked here (${event.message}); try dropping what is in it`));
      worker.postMessage({ module, name, bytes: new Uint8Array(bytes) }, [bytes]);
    });
  } finally {
    stopped.delete(stop);
    worker.terminate();
    URL.revokeObjectURL(address);
  }
}

/** The same files, with what is inside in the place of those that are packed. @param {Dropped[]} files @returns {Promise<Dropped[]>} */
export async function unpacked(files) {
  const all = [];
  for (const file of files) {
    const { name, blob, set } = file;
    if (!(await isPacked(blob))) {
      all.push(file);
      continue;
    }
    const busy = `Unpacking ${name}`;
    state.busy = busy;
    changed();
    try {
      const inside = await apart(file);
      for (const one of inside.files) all.push({ name: one.name, blob: new Blob([one.bytes]), set });
      for (const text of [...inside.problems, ...(inside.leftOut ? [inside.leftOut] : [])]) state.rigProblems.push({ name, text });
    } catch (error) {
      state.rigProblems.push({ name, text: error instanceof Error ? error.message : String(error) });
    }
    if (state.busy === busy) state.busy = '';
    changed();
  }
  return all;
}

/** Ends whatever is being unpacked. */
export function stopUnpacking() {
  for (const stop of stopped) stop();
}
