// Nothing leaves the page: a listening server proves it, not a return value.

import assert from 'node:assert/strict';
import { createSocket } from 'node:dgram';
import { readFile, readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { test } from 'node:test';

import * as kit from './kit.mjs';
import { workbook, zip } from './packing.mjs';

const stage = kit.suite();

/** Until the page has all its parts and has closed itself. @param {import('playwright-core').Page} page */
const closed = (page) => page.waitForSelector('html[data-sealed]');

test('once loaded the page does everything without a network: samples, tables, archives, workbooks, comparing, wiring, saving', async () => {
  const own = await kit.host();
  const { page, complaints, close } = await kit.open(stage.browser, own.url);
  await closed(page);
  assert.match(await page.innerText('#parts'), /works without a network now/);
  const asked = /** @type {string[]} */ ([]);
  page.context().on('request', (request) => {
    if (!request.url().startsWith('blob:') && !request.url().startsWith('data:')) asked.push(request.url());
  });
  // The network is gone, and so is the host.
  await page.context().setOffline(true);
  own.close();
  const before = own.requests.length;

  await page.selectOption('#handed', 'left');
  await kit.drop(page, await Promise.all(['harbour-range-before-1.c3d', 'harbour-range-after-1.csv', 'harbour-range.rig.json'].map(kit.sample)));
  await kit.ready(page, 2);
  await page.keyboard.press('t');
  await page.keyboard.press('Shift+ArrowLeft');
  await page.selectOption('#reference', 'com');
  await kit.settled(page);

  const table = (await kit.sample('harbour-range-before-2.csv')).bytes.toString();
  await kit.drop(page, [zip('monday.zip', [await kit.sample('harbour-range-before-3.c3d')]), workbook('two.xlsx', [['Swing', table]])]);
  await kit.ready(page, 4);

  await kit.drop(page, await Promise.all(['harbour-range-before-4.c3d', ...[2, 3, 4].map((i) => `harbour-range-after-${i}.c3d`)].map(kit.sample)));
  await kit.ready(page, 8);
  for (const i of [1, 2, 3, 4]) {
    const name = i === 1 ? 'harbour-range-after-1.csv' : `harbour-range-after-${i}.c3d`;
    await page.getByRole('radiogroup', { name: `Set of ${name}` }).getByLabel('B').evaluate((e) => /** @type {HTMLInputElement} */ (e).click());
  }
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('B, after: 4 swings'));
  await kit.settled(page);
  assert.ok((await page.locator('#findings tr[data-finding]').count()) > 30);

  await page.locator('#send-open').click();
  await page.waitForSelector('#send-holds dt');
  for (const button of ['send-csv', 'send-png']) {
    const [download] = await Promise.all([page.waitForEvent('download'), page.locator(`#${button}`).click()]);
    assert.ok((await readFile(await download.path())).length > 1000, button);
  }
  await page.locator('#send-close').click();

  await page.getByRole('button', { name: 'Open the sample swings' }).click();
  await page.getByRole('button', { name: 'Put mine aside and open them' }).click();
  await kit.ready(page, 12);

  assert.deepEqual(asked, []);
  assert.equal(own.requests.length, before);
  assert.deepEqual(complaints, []);
  await close();
});

test('the page fetches every module it ever uses before it closes itself, and each once', async () => {
  const own = await kit.host();
  const { page, close } = await kit.open(stage.browser, own.url);
  await closed(page);
  const paths = own.requests.map((path) => new URL(path, own.url).pathname);
  assert.deepEqual(paths.filter((path, i) => paths.indexOf(path) !== i), []);
  // All scripts of the site, but for the worker that keeps a received page and what reaches the page as text.
  const apart = ['sw.js', 'worker.js', 'packed_worker.js', 'kept.js'];
  for (const folder of ['', 'pkg/']) {
    for (const name of await readdir(join(kit.site, folder))) {
      if (!/\.(js|css)$/.test(name) || apart.includes(name)) continue;
      assert.ok(paths.includes(`/${folder}${name}`), `${folder}${name} was not fetched`);
    }
  }
  await close();
  own.close();
});

test('a part that did not come leaves the page open, which says so; it comes when the network is back', async () => {
  const { page, close } = await kit.open(stage.browser, 'about:blank', {}, false);
  let cut = true;
  await page.route('**/pkg/samples.js', (route) => (cut ? route.abort() : route.continue()));
  await page.goto(stage.host.url);
  await page.waitForFunction(() => document.querySelector('#parts')?.textContent?.startsWith('Not all parts'));
  assert.equal(await page.locator('html[data-sealed]').count(), 0);
  cut = false;
  await page.evaluate(() => window.dispatchEvent(new Event('online')));
  await closed(page);
  await close();
});

/**
 * Tries every way out of a page and gives the names of those that were tried.
 * @param {string} to an address that ends where the name of a way is put
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
    manifest: () => put('link', { rel: 'manifest', href: at('manifest') }),
    prerender: () => put('link', { rel: 'prerender', href: at('prerender') }),
    poster: () => put('video', { poster: at('poster') }),
    audio: () => put('audio', { src: at('audio'), preload: 'auto' }),
    track: () => {
      const video = put('video', {});
      const track = Object.assign(document.createElement('track'), { kind: 'captions', src: at('track'), default: true });
      video.append(track);
      track.track.mode = 'showing';
    },
    embed: () => put('embed', { src: at('embed') }),
    input: () => put('input', { type: 'image', src: at('input') }),
    srcset: () => put('img', { srcset: `${at('srcset')} 1x` }),
    svgImage: () => {
      const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
      for (const [name, file] of [['image', 'svg-image'], ['use', 'svg-use']]) {
        const inner = document.createElementNS('http://www.w3.org/2000/svg', name);
        inner.setAttribute('href', `${at(file)}#x`);
        svg.append(inner);
      }
      document.body.append(svg);
    },
    sheet: () => {
      const sheet = new CSSStyleSheet();
      sheet.replaceSync(`body { border: 1px solid; border-image: url(${at('sheet')}) 1; }`);
      document.adoptedStyleSheets.push(sheet);
    },
    worker: () => new Worker(at('worker')),
    sharedWorker: () => new SharedWorker(at('shared-worker')),
    serviceWorker: () => navigator.serviceWorker.register(at('service-worker')),
    workerFetch: () => inWorker(`fetch(${JSON.stringify(at('worker-fetch'))})`),
    workerImport: () => inWorker(`importScripts(${JSON.stringify(at('worker-import'))})`),
    form: () => {
      const form = /** @type {HTMLFormElement} */ (put('form', { action: at('form'), method: 'post' }));
      // Where nothing forbids it, the page goes with it: the others come first.
      setTimeout(() => form.submit(), 700);
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

test('35 ways to send in the background reach nobody, the page’s own host included; without the policy they do', async () => {
  // First where nothing forbids it: otherwise silence would prove nothing. It also shows how long they take here and now.
  // It has a listener of its own: what it sends late must not be laid at the page's door.
  const open = await kit.listener();
  const context = await stage.browser.newContext();
  const free = await context.newPage();
  await free.goto(`${open.url}free`);
  open.requests.length = 0;
  await free.setContent('<body></body>');
  await free.evaluate(gauntlet, open.url);
  const ways = () => new Set(open.requests.map((path) => path.slice(1)));
  const took_ms = await until(() => ways().size >= 22, '22 of the ways');
  await context.close();
  open.close();

  const heard = await kit.listener();
  for (const own of [false, true]) {
    const { page, close } = await kit.open(stage.browser, stage.host.url);
    await closed(page);
    stage.host.requests.length = 0;
    await page.evaluate(() => {
      const refused = /** @type {Set<string>} */ (new Set());
      Object.assign(window, { refused });
      document.addEventListener('securitypolicyviolation', ({ blockedURI }) => refused.add(blockedURI));
    });
    const tried = await page.evaluate(gauntlet, own ? `${stage.host.url}leak?` : `${heard.url}leak?`);
    assert.equal(tried.length, 35);
    // The page's own policy says what it refused; then as long again as the ways took where they were free.
    for (const way of ['fetch', 'xhr', 'beacon', 'websocket', 'eventsource', 'img', 'css', 'font', 'background-attribute', 'script', 'module', 'video', 'preload', 'ping', 'form', 'poster', 'audio', 'input', 'srcset', 'svg-image', 'sheet', ...(own ? ['worker'] : [])]) {
      await page.waitForFunction((name) => [.../** @type {any} */ (window).refused].some((uri) => new URL(uri, location.href).search === `?${name}`), way, { timeout: 10_000 }).catch(() => assert.fail(`${way} is not said to be refused`));
    }
    await page.waitForTimeout(1000 + 2 * took_ms);
    assert.deepEqual(own ? stage.host.requests : heard.requests, [], own ? 'its own host' : 'another host');
    await close();
  }
  heard.close();
});

test('while its parts still come, the page can ask its own host for scripts and styles, no more, and another for nothing', async () => {
  const heard = await kit.listener();
  const { page, close } = await kit.open(stage.browser, 'about:blank', {}, false);
  await page.route('**/pkg/wasm_packed.js', () => {});
  await page.goto(stage.host.url);
  await page.waitForSelector('html[data-ready]');
  await page.evaluate(gauntlet, `${heard.url}leak?`);
  await page.waitForTimeout(1500);
  assert.deepEqual(heard.requests, []);
  stage.host.requests.length = 0;
  await page.evaluate(gauntlet, `${stage.host.url}leak?`);
  await page.waitForTimeout(1500);
  const ways = new Set(stage.host.requests.map((path) => path.replace(/^.*leak\?/, '')));
  const open = ['css', 'script', 'module', 'modulepreload', 'prefetch', 'worker', 'shared-worker', 'service-worker', 'worker-import'];
  assert.deepEqual([...ways].filter((way) => !open.includes(way)), []);
  assert.ok(ways.has('script'), [...ways].join());
  assert.equal(await page.locator('html[data-sealed]').count(), 0);
  await close();
  heard.close();
});

test('what the page cannot forbid is what it says: going to another address, and the channel for calls', async () => {
  const heard = await kit.listener();
  const { page, close } = await kit.open(stage.browser, stage.host.url);
  await closed(page);
  const words = await page.innerText('#private');
  assert.match(words, /only following a link leaves it/);
  assert.match(words, /channel for calls \(WebRTC\)/);
  const calls = createSocket('udp4');
  let packets = 0;
  calls.on('message', () => (packets += 1));
  await new Promise((done) => calls.bind(0, '127.0.0.1', () => done(undefined)));
  await page.evaluate(async (port) => {
    const peer = new RTCPeerConnection({ iceServers: [{ urls: `stun:127.0.0.1:${port}` }] });
    peer.createDataChannel('leak');
    await peer.setLocalDescription(await peer.createOffer());
  }, calls.address().port);
  await until(() => packets > 0, 'a call');
  calls.close();
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

test('nothing in the page uses what it cannot forbid', async () => {
  // What the page itself goes to: a place within it, and files that it made.
  const uses = /RTCPeerConnection|RTCDataChannel|window\.open\(|location\.(assign|replace)\(|location(\.href)?\s*=[^=]/;
  for (const name of await readdir(kit.site)) {
    if (!name.endsWith('.js')) continue;
    assert.doesNotMatch(await readFile(join(kit.site, name), 'utf8'), uses, name);
  }
  assert.doesNotMatch(await readFile(join(kit.site, 'pkg/footing_web.js'), 'utf8'), uses);
});

test('no link of the page leads away', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url);
  const links = await page.locator('a[href]').evaluateAll((all) => all.map((a) => a.getAttribute('href') ?? ''));
  assert.ok(links.length > 0);
  assert.deepEqual(links.filter((href) => !href.startsWith('#')), []);
  await close();
});
