// The wasm module: compiled once, run on the main thread for drawing and in one worker for the rest.
//
// The page starts with a small module that reads, measures and draws. Comparing, links and wiring
// come with the whole module: the worker changes to it when one of them is first asked for, and
// reads its recordings again.

import { wholePart } from './parts.js';
import init from './pkg/footing_web.js';
import { wasmBytes } from './pkg/wasm.js';
import { workerSource } from './pkg/worker_source.js';

/** @typedef {{id: string, meaning: string, formula: string, source: string}} Definition */

/** What a file was refused for, in one sentence, and whether other wiring of its columns may help. */
export class Refused extends Error {
  /** @param {string} problem @param {boolean} wantsWiring */
  constructor(problem, wantsWiring) {
    super(problem);
    this.wantsWiring = wantsWiring;
  }
}

/** The worker was ended before it answered. */
export class Ended extends Error {}

let compiled = /** @type {WebAssembly.Module | null} */ (null);
let script = workerSource;
let whole = /** @type {Promise<void> | null} */ (null);
let isWhole = false;
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
  const address = URL.createObjectURL(new Blob([script], { type: 'text/javascript' }));
  worker = new Worker(address);
  worker.onmessage = ({ data }) => {
    const waiting = open.get(data.call);
    open.delete(data.call);
    showAsking();
    // After a trap the module's memory cannot be trusted.
    if (data.broken) end();
    if (data.problem === undefined) waiting?.done(data.result);
    else waiting?.fail(new Refused(data.problem, data.wants));
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
    showAsking();
    worker?.postMessage({ call, name, ...message }, transfer);
  });
}

/** `data-asking` on the root while the worker owes an answer: what is on the page is then not its last word. */
const showAsking = () => void document.documentElement.toggleAttribute('data-asking', open.size > 0);

/** Ends the worker, and with it whatever it does; starts another, which holds no recordings. */
export function end() {
  worker?.terminate();
  for (const { fail } of open.values()) fail(new Ended('ended'));
  open.clear();
  showAsking();
  wake().catch(() => {});
  restarted();
}

/** Whether the worker has the whole module. */
export const hasWhole = () => isWhole;

/** Changes the worker to the whole module, once; it then holds no recordings. @returns {Promise<void>} */
export function needWhole() {
  whole ??= (async () => {
    const { wasmBytes: bytes, workerSource: source } = await wholePart();
    compiled = await WebAssembly.compile(await bytes());
    script = source;
    isWhole = true;
    end();
  })();
  // What could not be had now may be had later.
  whole.catch(() => (whole = null));
  return whole;
}

/** @param {() => void} act called whenever a fresh worker took over, which holds no recordings */
export function onRestart(act) {
  restarted = act;
}
