// What the page checks share: a browser, a server that counts, files to drop, ways to look.

import assert from 'node:assert/strict';
import { createServer } from 'node:http';
import { readFile } from 'node:fs/promises';
import { extname, join, normalize } from 'node:path';
import { after, before, test } from 'node:test';
import { fileURLToPath } from 'node:url';

import axe from 'axe-core';
import { chromium } from 'playwright-core';

/** @typedef {import('playwright-core').Page} Page */

const root = fileURLToPath(new URL('../../', import.meta.url));
/** The built page's folder. */
export const site = process.env.FOOTING_SITE ?? join(root, 'target/site');

const TYPES = /** @type {Record<string, string>} */ ({
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.json': 'application/json',
});

/**
 * A plain static host of the built page, which remembers every request.
 * @returns {Promise<{url: string, requests: string[], close: () => void}>}
 */
export async function host() {
  const requests = /** @type {string[]} */ ([]);
  const server = createServer(async (request, response) => {
    const path = decodeURIComponent(new URL(request.url ?? '/', 'http://host').pathname);
    requests.push(request.url ?? '');
    const file = join(site, normalize(path.endsWith('/') ? `${path}index.html` : path));
    try {
      const body = await readFile(file);
      response.writeHead(200, { 'content-type': TYPES[extname(file)] ?? 'application/octet-stream' });
      response.end(body);
    } catch {
      response.writeHead(404);
      response.end();
    }
  });
  return listen(server, requests);
}

/**
 * A server that answers everything, as somebody who would like to hear from the page would.
 * @returns {Promise<{url: string, requests: string[], close: () => void}>}
 */
export function listener() {
  const requests = /** @type {string[]} */ ([]);
  const server = createServer((request, response) => {
    requests.push(request.url ?? '');
    response.writeHead(200, { 'access-control-allow-origin': '*', 'content-type': 'text/plain' });
    response.end('heard');
  });
  server.on('upgrade', (request, socket) => {
    requests.push(request.url ?? '');
    socket.destroy();
  });
  return listen(server, requests);
}

/** @param {import('node:http').Server} server @param {string[]} requests */
async function listen(server, requests) {
  await new Promise((done) => server.listen(0, '127.0.0.1', () => done(undefined)));
  // A check that fails before it closes its server must not keep its file from ending.
  server.unref();
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('the server has no port');
  const close = () => {
    server.closeAllConnections();
    server.close();
  };
  return { url: `http://127.0.0.1:${address.port}/`, requests, close };
}

export const browse = () =>
  chromium.launch({
    executablePath: process.env.FOOTING_CHROMIUM ?? '/usr/bin/chromium',
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--font-render-hinting=none',
      '--disable-lcd-text',
      '--force-color-profile=srgb',
    ],
  });

/**
 * Opens the page; anything it complains about fails the check that opened it.
 * @param {import('playwright-core').Browser} browser
 * @param {string} url
 * @param {import('playwright-core').BrowserContextOptions} [options]
 * @param {boolean} [ready] whether what is opened is the page, which is waited for
 */
export async function open(browser, url, options = {}, ready = true) {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, ...options });
  const page = await context.newPage();
  const complaints = /** @type {string[]} */ ([]);
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  await page.goto(url);
  if (ready) await page.waitForSelector('html[data-ready]');
  return { page, complaints, close: () => context.close() };
}

/**
 * A browser and a host for the checks of one file: there before the first, gone after the last.
 * `onPage` is a check on a page of its own, which must complain about nothing.
 * @param {(page: Page) => Promise<void>} [first] what every page gets before its check
 * @param {(page: Page) => Promise<void>} [once] what is made on a page before all checks
 */
export function suite(first, once) {
  let browser = /** @type {import('playwright-core').Browser} */ (/** @type {unknown} */ (null));
  let served = /** @type {Awaited<ReturnType<typeof host>>} */ (/** @type {unknown} */ (null));
  before(async () => {
    [browser, served] = await Promise.all([browse(), host()]);
    if (!once) return;
    const { page, close } = await open(browser, served.url);
    await once(page);
    await close();
  });
  after(async () => {
    await browser.close();
    served.close();
  });
  /**
   * @param {string} name
   * @param {(page: Page, t: import('node:test').TestContext) => Promise<void>} check
   * @param {import('playwright-core').BrowserContextOptions} [options]
   */
  const onPage = (name, check, options) => {
    void test(name, async (t) => {
      const { page, complaints, close } = await open(browser, served.url, options);
      try {
        await first?.(page);
        await check(page, t);
        assert.deepEqual(complaints, [], 'the page complains about nothing');
      } finally {
        await close();
      }
    });
  };
  return {
    get browser() {
      return browser;
    },
    get host() {
      return served;
    },
    onPage,
  };
}

/** A file of `samples/`. @param {string} name */
export const sample = async (name) => ({ name, bytes: await readFile(join(root, 'samples', name)) });

/** The truth a simulated sample was made from. @param {string} name */
export const truth = async (name) => JSON.parse(await readFile(join(root, 'samples', `${name}.truth.json`), 'utf8'));

/** Text as a file. @param {string} name @param {string} text */
export const written = (name, text) => ({ name, bytes: Buffer.from(text) });

/**
 * Lets files fall on the page.
 * @param {Page} page @param {{name: string, bytes: Buffer}[]} files
 */
export async function drop(page, files) {
  const plain = files.map(({ name, bytes }) => ({ name, base64: bytes.toString('base64') }));
  await page.evaluate((list) => {
    const data = new DataTransfer();
    for (const { name, base64 } of list) {
      const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
      data.items.add(new File([bytes], name));
    }
    document.body.dispatchEvent(new DragEvent('drop', { dataTransfer: data, bubbles: true, cancelable: true }));
  }, plain);
}

/** Waits until so many recordings are read. @param {Page} page @param {number} count */
export async function ready(page, count) {
  await page.waitForFunction(
    (n) => document.querySelectorAll('.recording[data-status="ready"]').length === n && document.querySelector('#busy[hidden]') !== null,
    count,
  );
  await settled(page);
}

/** Opens what a narrow screen folds; a wide one folds nothing. @param {Page} page */
export async function unfold(page) {
  const folded = page.locator('.fold[aria-expanded="false"]:visible');
  while ((await folded.count()) > 0) await folded.first().click();
}

/** Twelve swings of the invented player, six in each set. @param {Page} page */
export async function twoSets(page) {
  await unfold(page);
  await page.selectOption('#handed', 'left');
  const names = ['before', 'after'].flatMap((set) => [1, 2, 3, 4, 5, 6].map((i) => `harbour-range-${set}-${i}.c3d`));
  await drop(page, await Promise.all(names.map(sample)));
  await ready(page, 12);
  await unfold(page);
  // Pressed where it is: the Tray moves while the first of B makes the page read everything again.
  for (const name of names.slice(6)) await page.locator('.recording', { hasText: name }).getByLabel('B', { exact: true }).evaluate((e) => /** @type {HTMLInputElement} */ (e).click());
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('B, after: 6 swings'));
  await settled(page);
}

/** Waits until nothing is asked of the worker and two frames brought nothing new. @param {Page} page */
export async function settled(page) {
  let before = /** @type {string | null} */ ('');
  for (let i = 0; i < 100; i += 1) {
    const now = await page.evaluate(async () => {
      await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 60))));
      return document.querySelector('[aria-busy="true"], [data-asking], [data-seeking]') ? null : (document.querySelector('main')?.textContent ?? '');
    });
    if (now !== null && now === before) return;
    before = now;
  }
  throw new Error('the page does not come to rest');
}

/** Waits until the browser keeps everything that is on the page. @param {Page} page */
export async function kept(page) {
  await settled(page);
  await page.waitForSelector('.session[data-kept="yes"]');
}

const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** No rule of accessibility is broken by what is on the page. @param {Page} page @param {string} state */
export async function reachable(page, state) {
  await page.evaluate(axe.source);
  const found = await page.evaluate(async (rules) => {
    const { violations } = await /** @type {any} */ (window).axe.run(document, { runOnly: rules });
    return violations.map((/** @type {any} */ v) => `${v.id}: ${v.help}: ${v.nodes.map((/** @type {any} */ n) => n.html.slice(0, 120)).slice(0, 3).join(' | ')}`);
  }, RULES);
  assert.deepEqual(found, [], state);
}

/** A number as the page writes it. @param {string | null | undefined} text */
export const number = (text) => Number((text ?? '').replace('\u2212', '-').match(/-?\d+(\.\d+)?/)?.[0] ?? NaN);

/** The value of a measure in the table. @param {Page} page @param {string} id */
export async function measured(page, id) {
  return number(await page.locator(`tr[data-measure="${id}"] td.number`).first().textContent());
}

/** The value of a line under the cursor. @param {Page} page @param {string} chart @param {string} line */
export async function underCursor(page, chart, line) {
  const values = await page.locator(`.chart-${chart} .values .value`).allTextContents();
  return number(values.find((text) => text.startsWith(`${line} `))?.slice(line.length));
}

/**
 * How many pixels of a canvas have a colour.
 * @param {Page} page @param {string} selector @param {string} hex
 * @param {number} [off] how far each channel may be off: thin slanted lines are blended with the ground
 */
export function pixels(page, selector, hex, off = 2) {
  return page.evaluate(
    ([query, colour, by]) => {
      const canvas = /** @type {HTMLCanvasElement} */ (document.querySelector(query));
      const data = canvas.getContext('2d')?.getImageData(0, 0, canvas.width, canvas.height).data ?? [];
      const wanted = [1, 3, 5].map((i) => parseInt(colour.slice(i, i + 2), 16));
      let count = 0;
      for (let i = 0; i < data.length; i += 4) {
        if (wanted.every((channel, k) => Math.abs(data[i + k] - channel) <= Number(by))) count += 1;
      }
      return count;
    },
    [selector, hex, String(off)],
  );
}

export const LEAD = '#5b2fa8';
export const TRAIL = '#8f5200';
export const TOWARD = '#2a8c86';
export const AWAY = '#967232';
