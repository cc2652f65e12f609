// A received page stays readable without a network: a service worker keeps the page's own files.

/** Whether this part of an address is a link's. @param {string} hash */
export const isLink = (hash) => /^#f\d+[=:]/i.test(hash);

let asked = /** @type {Promise<boolean> | null} */ (null);

/** Asks for the worker, once, where a host and a browser allow it; a page that is closed cannot ask any more. @returns {Promise<boolean>} */
export function registered() {
  asked ??= (async () => {
    if (!('serviceWorker' in navigator) || !window.isSecureContext || !location.protocol.startsWith('http')) return false;
    if ('sealed' in document.documentElement.dataset) return false;
    try {
      await navigator.serviceWorker.register('sw.js');
      return true;
    } catch {
      // A host or a browser that does not allow it: the page works, only not without a network.
      return false;
    }
  })();
  return asked;
}

/** Keeps the page that was opened with a link; says when its files are kept. */
export async function keepOffline() {
  if (!(await registered())) return;
  await navigator.serviceWorker.ready;
  document.documentElement.dataset.kept = '';
}
