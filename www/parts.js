// The page's own large parts, which it does not start with. They are fetched while nothing else is to be done, though not
// compiled before they are needed; then the page binds itself to ask nothing of anybody any more, its own host included.

import { at, write } from './dom.js';
import { isLink, registered } from './offline.js';

/**
 * Fetches a part once, at the first call; what could not be had then may be had later.
 * @template T @param {() => Promise<T>} load @returns {() => Promise<T>}
 */
function once(load) {
  let loaded = /** @type {Promise<T> | null} */ (null);
  return () => {
    loaded ??= load();
    loaded.catch(() => (loaded = null));
    return loaded;
  };
}

/** The module that compares, sends and wires, and its worker. */
export const wholePart = once(async () => {
  const [{ wasmBytes }, { workerSource }] = await Promise.all([import('./pkg/wasm_whole.js'), import('./pkg/worker_source_whole.js')]);
  return { wasmBytes, workerSource };
});

/** The module that takes archives and workbooks apart, and its worker. */
export const packedPart = once(async () => {
  const [{ wasmBytes }, { workerSource }] = await Promise.all([import('./pkg/wasm_packed.js'), import('./pkg/worker_source_packed.js')]);
  return { wasmBytes, workerSource };
});

/** The sample swings. */
export const samplesPart = once(() => import('./pkg/samples.js'));

/** What is left to the page once it has all its parts: what it makes itself. A policy is only ever added to: nothing lifts it. */
const SEALED = "default-src 'none'; script-src 'wasm-unsafe-eval'; worker-src blob:; img-src data: blob:; media-src blob:; base-uri 'none'; form-action 'none'";

/** A moment in which the page has nothing else to do. @returns {Promise<void>} */
const idle = () => new Promise((done) => ('requestIdleCallback' in window ? requestIdleCallback(() => done(), { timeout: 2000 }) : setTimeout(done, 200)));

/** Fetches what is not here yet, one part after the other, then closes the page. */
export async function closeUp() {
  const says = at('parts', HTMLParagraphElement);
  try {
    for (const part of [wholePart, samplesPart, packedPart]) {
      await idle();
      await part();
    }
    // The worker that keeps a received page can be asked for only before.
    if (isLink(location.hash)) await registered();
  } catch {
    write(says, 'Not all parts of this page have come from where it was opened; those that compare, open archives or hold the samples may be asked for once more.');
    window.addEventListener('online', () => void closeUp(), { once: true });
    return;
  }
  const policy = document.createElement('meta');
  policy.httpEquiv = 'Content-Security-Policy';
  policy.content = SEALED;
  document.head.append(policy);
  document.documentElement.dataset.sealed = '';
  write(says, 'All of this page is here, and it is closed: it works without a network now.');
}
