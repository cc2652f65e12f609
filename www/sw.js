// Keeps the page's own files so that a received link can be read again without a network. It answers for those files and for
// nothing else, asks only its own host for them, and only while it is installed.

'use strict';

(() => {
  const worker = /** @type {any} */ (self);
  // Written by the build: a stamp that changes with any file, and the files.
  worker.importScripts('pkg/kept.js');
  const { stamp, files } = /** @type {{stamp: string, files: string[]}} */ (worker.footingKept);
  const NAME = `footing-${stamp}`;
  const own = new Set(files.map((file) => new URL(file, worker.registration.scope).href));

  /** @param {any} event */
  const install = (event) => {
    const fresh = files.map((file) => new Request(new URL(file, worker.registration.scope), { cache: 'reload' }));
    event.waitUntil(caches.open(NAME).then((cache) => cache.addAll(fresh)));
  };

  /** @param {any} event */
  const activate = (event) => {
    const old = async () => {
      for (const name of await caches.keys()) if (name.startsWith('footing-') && name !== NAME) await caches.delete(name);
    };
    event.waitUntil(old());
  };

  /** @param {any} event */
  const answer = (event) => {
    const address = new URL(event.request.url);
    address.hash = '';
    address.search = '';
    if (event.request.method !== 'GET' || !own.has(address.href)) return;
    const kept = async () => {
      const cache = await caches.open(NAME);
      return (await cache.match(address.href)) ?? fetch(event.request);
    };
    event.respondWith(kept());
  };

  worker.addEventListener('install', install);
  worker.addEventListener('activate', activate);
  worker.addEventListener('fetch', answer);
})();
