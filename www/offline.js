// A received page stays readable without a network: a service worker keeps the page's own files.

/** Registers the worker once a link was opened from a hosted page; says when its files are kept. */
export async function keepOffline() {
  if (!('serviceWorker' in navigator) || !window.isSecureContext || !location.protocol.startsWith('http')) return;
  try {
    await navigator.serviceWorker.register('sw.js');
    await navigator.serviceWorker.ready;
    document.documentElement.dataset.kept = '';
  } catch {
    // A host or a browser that does not allow it: the page works, only not without a network.
  }
}
