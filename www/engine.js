// The wasm module: compiled once, run on the main thread for drawing and in one worker for the rest.

import init from './pkg/footing_web.js';
import { wasmBytes } from './pkg/wasm.js';
import { workerSource } from './pkg/worker_source.js';

/** @typedef {{id: string, meaning: string, formula: string, source: string}} Definition */

/** What a file was refused for, in one sentence. */
export class Refused extends Error {}

/** The worker was ended before it answered. */
export class Ended extends Error {}

let compiled = /** @type {WebAssembly.Module | null} */ (null);
let worker = /** @type {Worker | null} */ (null);
let calls = 0;
let restarted = () => {};
const open = /** @type {Map<number, {done: (value: any) => void, fail: (error: Error) => void}>} */ (new Map());

/** Compiles the module and starts the worker. @returns {Promise<Definition[]>} */
export async function start() {
  compiled = await WebAssembly.compile(await wasmBytes());
  await init({ module_or_path: compiled });
  return wake();
}

/** @returns {Promise<Definition[]>} */
function wake() {
  const address = URL.createObjectURL(new Blob([workerSource], { type: 'text/javascript' }));
  worker = new Worker(address);
  worker.onmessage = ({ data }) => {
    const waiting = open.get(data.call);
    open.delete(data.call);
    // After a trap the module's memory cannot be trusted.
    if (data.broken) end();
    if (data.problem === undefined) waiting?.done(data.result);
    else waiting?.fail(new Refused(data.problem));
  };
  return ask('start', { module: compiled }).finally(() => URL.revokeObjectURL(address));
}

/**
 * Asks the worker.
 * @param {string} name
 * @param {object} message
 * @param {Transferable[]} [transfer]
 * @returns {Promise<any>}
 */
export function ask(name, message, transfer = []) {
  const call = (calls += 1);
  return new Promise((done, fail) => {
    open.set(call, { done, fail });
    worker?.postMessage({ call, name, ...message }, transfer);
  });
}

/** Ends the worker, and with it whatever it does; starts another, which holds no recordings. */
export function end() {
  worker?.terminate();
  for (const { fail } of open.values()) fail(new Ended('ended'));
  open.clear();
  wake().catch(() => {});
  restarted();
}

/** @param {() => void} act called whenever a fresh worker took over, which holds no recordings */
export function onRestart(act) {
  restarted = act;
}
