// Nothing leaves the page: a listening server proves it, not a return value.

import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';

import * as kit from './kit.mjs';

let browser = /** @type {import('playwright-core').Browser} */ (/** @type {unknown} */ (null));
let host = /** @type {Awaited<ReturnType<typeof kit.host>>} */ (/** @type {unknown} */ (null));

before(async () => {
  [browser, host] = await Promise.all([kit.browse(), kit.host()]);
});

after(async () => {
  await browser.close();
  host.close();
});

test('reading, dragging and changing settings asks the network for nothing', async () => {
  const { page, close } = await kit.open(browser, host.url);
  const asked = /** @type {string[]} */ ([]);
  page.on('request', (request) => {
    if (!request.url().startsWith('blob:') && !request.url().startsWith('data:')) asked.push(request.url());
  });
  const before = host.requests.length;
  await kit.drop(page, await Promise.all(['harbour-range-before-1.c3d', 'harbour-range-after-1.csv', 'harbour-range.rig.json'].map(kit.sample)));
  await kit.ready(page, 2);
  await page.keyboard.press('t');
  await page.keyboard.press('Shift+ArrowLeft');
  await page.selectOption('#reference', 'com');
  await kit.settled(page);
  assert.deepEqual(asked, []);
  assert.deepEqual(host.requests.slice(before), []);
  await close();
});

/**
 * Tries every way out of a page and gives the names of those that were tried.
 * @param {string} to
 */
function gauntlet(to) {
  const at = (/** @type {string} */ name) => `${to}${name}`;
  const put = (/** @type {string} */ tag, /** @type {Record<string, string>} */ attributes) => {
    const element = Object.assign(document.createElement(tag), attributes);
    for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
    document.body.append(element);
    return element;
  };
  const style = (/** @type {string} */ text) => {
    const sheet = document.createElement('style');
    sheet.textContent = text;
    document.head.append(sheet);
  };
  const inWorker = (/** @type {string} */ source) => {
    new Worker(URL.createObjectURL(new Blob([source], { type: 'text/javascript' })));
  };
  /** @type {Record<string, () => unknown>} */
  const ways = {
    fetch: () => fetch(at('fetch')),
    xhr: () => {
      const request = new XMLHttpRequest();
      request.open('GET', at('xhr'));
      request.send();
    },
    beacon: () => navigator.sendBeacon(at('beacon'), 'x'),
    websocket: () => new WebSocket(at('websocket').replace('http', 'ws')),
    eventsource: () => new EventSource(at('eventsource')),
    img: () => put('img', { src: at('img') }),
    css: () => put('link', { rel: 'stylesheet', href: at('css') }),
    font: () => new FontFace('leak', `url(${at('font')})`).load(),
    background: () => {
      style(`body { background-image: url(${at('background')}); }`);
      document.body.style.backgroundImage = `url(${at('background-attribute')})`;
    },
    script: () => put('script', { src: at('script') }),
    module: () => import(at('module')),
    iframe: () => put('iframe', { src: at('iframe') }),
    object: () => put('object', { data: at('object') }),
    video: () => put('video', { src: at('video'), preload: 'auto' }),
    prefetch: () => put('link', { rel: 'prefetch', href: at('prefetch') }),
    preload: () => put('link', { rel: 'preload', as: 'image', href: at('preload') }),
    modulepreload: () => put('link', { rel: 'modulepreload', href: at('modulepreload') }),
    icon: () => put('link', { rel: 'icon', href: at('icon') }),
    workerFetch: () => inWorker(`fetch(${JSON.stringify(at('worker-fetch'))})`),
    workerImport: () => inWorker(`importScripts(${JSON.stringify(at('worker-import'))})`),
    form: () => {
      const form = /** @type {HTMLFormElement} */ (put('form', { action: at('form'), method: 'post' }));
      form.submit();
    },
    ping: () => {
      const link = /** @type {HTMLAnchorElement} */ (put('a', { href: '#private', ping: at('ping') }));
      link.click();
    },
  };
  for (const way of Object.values(ways)) {
    try {
      const trying = way();
      if (trying instanceof Promise) trying.catch(() => {});
    } catch {
      // Refusing loudly is as good as refusing silently: the listener decides.
    }
  }
  return Object.keys(ways);
}

/** Waits until a listener has heard enough. @param {() => boolean} enough @param {string} what */
async function until(enough, what) {
  const began = performance.now();
  while (!enough()) {
    assert.ok(performance.now() - began < 30_000, `not heard in half a minute: ${what}`);
    await new Promise((done) => setTimeout(done, 50));
  }
  return performance.now() - began;
}

test('22 ways to send in the background reach nobody; without the policy they do', async () => {
  // First where nothing forbids it: otherwise silence would prove nothing. It also shows how long they take here and now.
  // It has a listener of its own: what it sends late must not be laid at the page's door.
  const open = await kit.listener();
  const context = await browser.newContext();
  const free = await context.newPage();
  await free.goto(`${open.url}free`);
  open.requests.length = 0;
  await free.setContent('<body></body>');
  await free.evaluate(gauntlet, open.url);
  const ways = () => new Set(open.requests.map((path) => path.slice(1)));
  const took_ms = await until(() => ways().size >= 15, '15 of the ways');
  await context.close();
  open.close();

  const heard = await kit.listener();
  const { page, close } = await kit.open(browser, host.url);
  await page.evaluate(() => {
    const refused = /** @type {Set<string>} */ (new Set());
    Object.assign(window, { refused });
    document.addEventListener('securitypolicyviolation', ({ blockedURI }) => refused.add(blockedURI));
  });
  const tried = await page.evaluate(gauntlet, heard.url);
  assert.equal(tried.length, 22);
  // The page's own policy says what it refused; then as long again as the ways took where they were free.
  for (const way of ['fetch', 'xhr', 'beacon', 'websocket', 'eventsource', 'img', 'css', 'font', 'background-attribute', 'script', 'module', 'video', 'preload', 'ping', 'form']) {
    await page.waitForFunction((name) => [.../** @type {any} */ (window).refused].some((uri) => new URL(uri, location.href).pathname === `/${name}`), way);
  }
  await page.waitForTimeout(1000 + 2 * took_ms);
  assert.deepEqual(heard.requests, []);
  await close();
  heard.close();
});

test('what the page cannot forbid is what it says: leaving by a link or a new window', async () => {
  const heard = await kit.listener();
  const { page, close } = await kit.open(browser, host.url);
  assert.match(await page.innerText('#private'), /only following a link leaves it/);
  await page.evaluate((to) => {
    window.open(`${to}window`);
    location.assign(`${to}navigation`);
  }, heard.url);
  await until(() => heard.requests.includes('/navigation'), 'the page that was gone to');
  await page.waitForURL(`${heard.url}navigation`);
  const paths = new Set(heard.requests.filter((path) => !path.includes('favicon')));
  for (const path of paths) assert.ok(['/navigation', '/window'].includes(path), path);
  await close();
  heard.close();
});

test('no link of the page leads away', async () => {
  const { page, close } = await kit.open(browser, host.url);
  const links = await page.locator('a[href]').evaluateAll((all) => all.map((a) => a.getAttribute('href') ?? ''));
  assert.ok(links.length > 0);
  assert.deepEqual(links.filter((href) => !href.startsWith('#')), []);
  await close();
});
