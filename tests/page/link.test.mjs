// The link: sent, opened with nothing but itself, damaged, offline, by machine and by eye.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import jsQR from 'jsqr';
import { PNG } from 'pngjs';

import * as kit from './kit.mjs';

/** What the sender saw, and the link they sent; made once. */
const sent = { url: '', sentences: /** @type {string[]} */ ([]), rows: /** @type {string[][]} */ ([]) };

const TITLE = 'K-07, 7-iron';
const CUE = 'Step into the lead heel before the club is back';
const MARKUP = '<img src=x onerror=hi>';

/** @param {import('playwright-core').Page} page @param {string} within */
const rowsOf = (page, within) =>
  page.locator(`${within} tr[data-finding]:not([data-verdict="absent"])`).evaluateAll((all) =>
    // The picture's cell holds no text: single swings are not sent.
    all.map((tr) => [tr.getAttribute('data-finding') ?? '', ...[...tr.querySelectorAll('td')].map((td) => td.textContent ?? '')]),
  );

/** @param {import('playwright-core').Page} page */
const senderSentences = async (page) => [await page.innerText('#sentence'), ...(await page.locator('#sentences-more p').allInnerTexts())];

/** @param {import('playwright-core').Page} page */
const receiverSentences = (page) => page.locator('#received-found [data-sentence]').allInnerTexts();

/**
 * Opens the Send panel and waits until the link is there. The checks' host is on this computer, for which the page makes
 * no link by itself: its address is typed.
 * @param {import('playwright-core').Page} page
 */
async function send(page) {
  await page.locator('#send-open').click();
  await page.fill('#send-base', stage.host.url);
  await page.fill('#send-title-text', TITLE);
  await page.fill('#send-cue', CUE);
  await page.waitForFunction((cue) => document.querySelector('#send-holds')?.textContent?.includes(cue), CUE);
  return page.inputValue('#send-url');
}

const stage = kit.suite(undefined, async (page) => {
  await kit.twoSets(page);
  await page.fill('#label-B', MARKUP);
  await page.waitForFunction((label) => document.querySelector('#findings .counted')?.textContent?.includes(label), MARKUP);
  await kit.settled(page);
  sent.sentences = await senderSentences(page);
  sent.rows = await rowsOf(page, '#findings');
  sent.url = await send(page);
});

/** @param {string} url @param {import('playwright-core').BrowserContextOptions} [options] */
async function receive(url, options) {
  const opened = await kit.open(stage.browser, url, options);
  await opened.page.waitForSelector('#received:not([hidden])');
  return opened;
}

test('a fresh browser with no files shows the same sentences and the same numbers, digit for digit', async () => {
  assert.ok(sent.url.startsWith(`${stage.host.url}#f1=`), sent.url.slice(0, 60));
  assert.ok(sent.url.length <= 1500, `${sent.url.length} characters`);
  const { page, complaints, close } = await receive(sent.url);
  assert.deepEqual(await receiverSentences(page), sent.sentences);
  assert.equal(await page.innerText('#received-cue'), CUE);
  assert.equal(await page.innerText('#received-title'), TITLE);
  assert.ok((await kit.pixels(page, '.picture-seen-a canvas', kit.AWAY, 24)) > 100, 'the area away is hatched');
  assert.ok((await kit.pixels(page, '.picture-seen-b canvas', kit.TOWARD)) > 1000, 'the area toward is filled');
  assert.ok((await kit.pixels(page, '.picture-seen-feet canvas', '#1f1b16', 24)) > 100, 'the feet are drawn');
  await page.locator('#received-closer > summary').click();
  await page.waitForSelector('#received-table tr[data-finding]');
  assert.deepEqual(await rowsOf(page, '#received-table'), sent.rows);
  assert.ok(sent.rows.length > 30);
  assert.deepEqual(complaints, []);
  await close();
});

test('a label that is markup is text, at the sender and at the receiver', async () => {
  const { page, close } = await receive(sent.url);
  await page.locator('#received-closer > summary').click();
  await page.waitForSelector('#received-table tr[data-finding]');
  assert.ok((await receiverSentences(page)).join(' ').includes(MARKUP));
  assert.ok((await page.innerText('#received-table thead')).includes(MARKUP));
  assert.equal(await page.locator('#received img').count(), 0);
  await close();
});

test('what the link holds is said before it is shared, and holds no file name', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url);
  await kit.twoSets(page);
  await send(page);
  const holds = await page.innerText('#send-holds');
  for (const part of [TITLE, CUE, '6 swings', 'left-handed; nothing else', 'vertical torque', 'foot-to-foot CoP angle']) {
    assert.ok(holds.includes(part), `${part}: ${holds}`);
  }
  assert.ok(!holds.includes('.c3d'));
  assert.match(await page.innerText('#send'), /cannot be taken back/);
  assert.match(await page.innerText('#send-length'), /^\d{3,4} characters$/);
  // Typing is cut at the limits, and a link never loses what was typed before.
  await page.fill('#send-cue', '');
  await page.locator('#send-cue').pressSequentially('x'.repeat(150));
  assert.equal((await page.inputValue('#send-cue')).length, 140);
  await close();
});

test('copying puts the link on the clipboard; where that is refused the link is selected', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url, { permissions: ['clipboard-read', 'clipboard-write'] });
  await kit.twoSets(page);
  const url = await send(page);
  await page.locator('#send-copy').click();
  await page.waitForFunction(() => document.querySelector('#send-status')?.textContent === 'The link is copied.');
  assert.equal(await page.evaluate(() => navigator.clipboard.readText()), url);
  await page.evaluate(() => {
    navigator.clipboard.writeText = () => Promise.reject(new Error('no'));
  });
  await page.locator('#send-copy').click();
  await page.waitForFunction(() => document.querySelector('#send-status')?.textContent?.includes('selected'));
  const selected = await page.evaluate(() => {
    const area = /** @type {HTMLTextAreaElement} */ (document.activeElement);
    return area.value.slice(area.selectionStart, area.selectionEnd);
  });
  assert.equal(selected, url);
  await close();
});

test('the QR code on the screen, read by another decoder, opens the same comparison', async () => {
  for (const colorScheme of /** @type {const} */ (['light', 'dark'])) {
    const { page, close } = await kit.open(stage.browser, stage.host.url, { colorScheme, deviceScaleFactor: 2 });
    await kit.twoSets(page);
    await send(page);
    const picture = PNG.sync.read(await page.locator('#send-qr svg').screenshot());
    const read = jsQR(new Uint8ClampedArray(picture.data), picture.width, picture.height);
    assert.ok(read, `${colorScheme}: the code is read`);
    assert.ok(read.data.startsWith(`${stage.host.url}#F1:`), read.data.slice(0, 60));
    const sentences = await senderSentences(page);
    await close();
    const received = await receive(read.data);
    assert.deepEqual(await receiverSentences(received.page), sentences);
    await received.close();
  }
});

test('whoever can open an address is told from it', async () => {
  // RFC 6761, RFC 1122 3.2.1.3, RFC 4291 2.5.3 · RFC 1918, RFC 3927, RFC 4193, RFC 4291 2.5.6, RFC 6762, RFC 8375.
  const cases = /** @type {[string, string][]} */ ([
    ['file:///C:/footing/index.html', 'file'],
    ...['http://localhost:8000/', 'http://bay.localhost/', 'http://127.0.0.1:8000/', 'http://127.8.9.1/', 'http://[::1]:8000/', 'http://LOCALHOST./'].map((url) => [url, 'computer']),
    ...['http://10.0.0.7/', 'http://172.16.0.1/', 'http://172.31.255.1/', 'http://192.168.1.20:8080/', 'http://169.254.3.4/', 'http://[fd12:3456::1]/', 'http://[fe80::1]/', 'http://bay-pc.local/', 'https://bay-pc/', 'https://range.home.arpa/'].map((url) => [url, 'network']),
    // Addresses kept for documentation (RFC 5737, RFC 3849, RFC 2606), and neighbours of the above.
    ...['https://range.example/footing/', 'http://203.0.113.5/', 'http://[2001:db8::1]/', 'http://172.32.0.1/', 'http://11.0.0.1/', 'http://192.169.0.1/', 'https://local.example/', 'https://10.example/'].map((url) => [url, 'everybody']),
  ]);
  const { page, close } = await kit.open(stage.browser, stage.host.url);
  const told = await page.evaluate(
    async ([module, urls]) => {
      const { whoOpens } = await import(/** @type {string} */ (module));
      return /** @type {string[]} */ (urls).map((url) => [url, whoOpens(new URL(url))]);
    },
    [`${stage.host.url}hosts.js`, cases.map(([url]) => url)],
  );
  assert.deepEqual(told, cases);
  await close();
});

test('served to this computer alone the page makes no link by itself: it asks where it is hosted, and says why', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url);
  await kit.twoSets(page);
  await page.locator('#send-open').click();
  await page.waitForFunction(() => document.querySelector('#send-holds')?.textContent?.includes('swings'));
  assert.match(await page.innerText('#send-base-hint'), /served at 127\.0\.0\.1:\d+, which only this computer opens: type where/);
  assert.equal(await page.inputValue('#send-url'), '');
  assert.equal(await page.locator('#send-qr svg').count(), 0);
  assert.match(await page.innerText('#send-length'), /still missing/);
  for (const id of ['send-copy', 'send-qr-svg', 'send-qr-png']) assert.ok(await page.locator(`#${id}`).isDisabled(), id);
  await page.fill('#send-base', 'https://range.example/footing/');
  await page.waitForFunction(() => /** @type {HTMLTextAreaElement} */ (document.querySelector('#send-url')).value.startsWith('https://range.example/footing/#f1='));
  assert.equal(await page.locator('#send-qr svg').count(), 1);
  assert.match(await page.innerText('#send-qr-hint'), /^Print the code at least \d cm wide/);
  // Whoever types an address that others cannot open is told so.
  await page.fill('#send-base', 'http://192.168.1.20/');
  await page.waitForFunction(() => /** @type {HTMLTextAreaElement} */ (document.querySelector('#send-url')).value.startsWith('http://192.168.1.20/#f1='));
  assert.match(await page.innerText('#send-base-hint'), /Only its own network opens 192\.168\.1\.20/);
  await close();
});

test('where everybody can open the page, nothing is asked and the link is there', async () => {
  const context = await stage.browser.newContext();
  const page = await context.newPage();
  await page.route('http://range.example/**', async (route) => {
    const answer = await route.fetch({ url: stage.host.url + new URL(route.request().url()).pathname.slice(1) });
    await route.fulfill({ response: answer });
  });
  await page.goto('http://range.example/');
  await page.waitForSelector('html[data-ready]');
  await kit.twoSets(page);
  await page.locator('#send-open').click();
  await page.waitForFunction(() => /** @type {HTMLTextAreaElement} */ (document.querySelector('#send-url')).value.startsWith('http://range.example/#f1='));
  assert.ok(!(await page.locator('#send-where').isVisible()));
  await context.close();
});

test('the comparison on paper has its title, its cue, the day and a code that a phone reads', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url, { deviceScaleFactor: 2 });
  await kit.twoSets(page);
  await send(page);
  await page.locator('#send-close').click();
  assert.ok(!(await page.locator('#paper').isVisible()), 'not on the screen');
  await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
  await page.emulateMedia({ media: 'print' });
  assert.equal(await page.innerText('#paper-title'), TITLE);
  assert.equal(await page.innerText('#paper-cue'), CUE);
  assert.match(await page.innerText('#paper-day'), new RegExp(`Printed on \\d+ \\w+ ${new Date().getFullYear()}$`));
  assert.ok((await page.innerText('#paper-way')).includes(stage.host.url));
  const width = await page.locator('#paper-code svg').evaluate((e) => (e.getBoundingClientRect().width / 96) * 25.4);
  assert.ok(width >= 30, `${width} mm`);
  const picture = PNG.sync.read(await page.locator('#paper-code svg').screenshot());
  assert.ok(jsQR(new Uint8ClampedArray(picture.data), picture.width, picture.height)?.data.startsWith(`${stage.host.url}#F1:`));
  assert.doesNotMatch(await page.innerText('#main'), /in the order of the Tray/);
  assert.ok(!(await page.locator('#private').isVisible()));
  await close();
});

test('the saved QR code is a picture that another decoder reads too', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url);
  await kit.twoSets(page);
  await send(page);
  const [file] = await Promise.all([page.waitForEvent('download'), page.locator('#send-qr-png').click()]);
  assert.equal(file.suggestedFilename(), 'footing-link.png');
  const { readFile } = await import('node:fs/promises');
  const picture = PNG.sync.read(await readFile(await file.path()));
  assert.ok(jsQR(new Uint8ClampedArray(picture.data), picture.width, picture.height)?.data.startsWith(`${stage.host.url}#F1:`));
  const [svg] = await Promise.all([page.waitForEvent('download'), page.locator('#send-qr-svg').click()]);
  assert.match(await readFile(await svg.path(), 'utf8'), /^<svg [^>]*viewBox/);
  await close();
});

test('back and forward lead between the recordings and a received link', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url);
  await kit.twoSets(page);
  const own = await senderSentences(page);
  await page.evaluate((hash) => {
    location.hash = hash;
  }, sent.url.slice(sent.url.indexOf('#')));
  await page.waitForSelector('#received:not([hidden])');
  assert.ok(!(await page.locator('#main').isVisible()));
  assert.deepEqual(await receiverSentences(page), sent.sentences);
  await page.waitForFunction(() => document.activeElement?.matches('#received-found h2[data-sentence]'), null, { timeout: 5000 });
  await page.goBack();
  await page.waitForSelector('#main:not([hidden])');
  await page.waitForFunction(() => document.activeElement?.id === 'reading', null, { timeout: 5000 });
  assert.deepEqual(await senderSentences(page), own, 'the recordings are still there');
  assert.equal(await page.locator('.recording').count(), 12);
  await page.goForward();
  await page.waitForSelector('#received:not([hidden])');
  assert.deepEqual(await receiverSentences(page), sent.sentences);
  await page.getByRole('link', { name: 'Open the page for recordings' }).click();
  await page.waitForSelector('#main:not([hidden])');
  await close();
});

test('a link that is cut, damaged or newer says which in one sentence, and takes the whole link pasted again', async () => {
  const middle = Math.floor(sent.url.length / 2);
  const other = sent.url[middle] === 'A' ? 'B' : 'A';
  const cases = /** @type {[string, RegExp][]} */ ([
    [sent.url.slice(0, -9), /cut short: 9 characters are missing/],
    [sent.url.slice(0, middle) + other + sent.url.slice(middle + 1), /damaged/],
    [sent.url.replace('#f1=', '#f2='), /made by a newer Footing; reload the page/],
  ]);
  for (const [url, words] of cases) {
    const { page, complaints, close } = await receive(url);
    assert.match(await page.innerText('#received-problem'), words);
    assert.ok(!(await page.locator('#received-found').isVisible()));
    await page.getByLabel('Paste the link again').fill('Dear coach');
    await page.getByRole('button', { name: 'Open', exact: true }).click();
    assert.match(await page.innerText('#received-problem'), /not a Footing link/);
    await page.getByLabel('Paste the link again').fill(`Have a look: <${sent.url}>.`);
    await page.getByRole('button', { name: 'Open', exact: true }).click();
    await page.waitForSelector('#received-found:not([hidden])');
    await page.waitForFunction(() => document.activeElement?.matches('#received-found h2[data-sentence]'), null, { timeout: 5000 });
    assert.deepEqual(await receiverSentences(page), sent.sentences);
    assert.deepEqual(complaints, []);
    await close();
  }
});

test('how many swings were counted against a note that says stop is said where the player reads how certain it is', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url);
  await kit.twoSets(page);
  // Read as a right-handed player's, every swing of this left-handed one carries a stop.
  await page.selectOption('#handed', 'right');
  await page.waitForSelector('#kept-out-use:visible');
  await kit.settled(page);
  await page.locator('#kept-out-use').click();
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('B, after: 6 swings'));
  await kit.settled(page);
  const url = await send(page);
  await close();
  const received = await receive(url);
  assert.match(await received.page.innerText('#received-certain'), /^6 swings of “before” \(6 of them against a note that says stop\) and 6 of “after” \(6 of them against/);
  assert.ok(!(await received.page.locator('#received-closer').evaluate((e) => /** @type {HTMLDetailsElement} */ (e).open)));
  await received.close();
});

test('a link pasted on the page for recordings is opened, whatever words are around it', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url, { permissions: ['clipboard-read', 'clipboard-write'] });
  await page.evaluate((text) => navigator.clipboard.writeText(text), `Have a look: ${sent.url} and tell me`);
  await page.locator('body').press('Control+v');
  await page.waitForSelector('#received-found:not([hidden])');
  assert.deepEqual(await receiverSentences(page), sent.sentences);
  await close();
});

test('a received link can be read again without a network, and only the page’s own host was ever asked', async () => {
  const own = await kit.host();
  const { page, close } = await receive(own.url + sent.url.slice(sent.url.indexOf('#')));
  const asked = /** @type {string[]} */ ([]);
  page.context().on('request', (request) => asked.push(request.url()));
  await page.waitForSelector('html[data-kept]', { timeout: 20_000 });
  for (const path of own.requests) assert.ok(!path.includes('samples/') && !/f1[=:]/i.test(path), `${path} is not asked for`);
  own.close();
  await page.context().setOffline(true);
  await page.reload();
  await page.waitForSelector('#received:not([hidden])');
  assert.deepEqual(await receiverSentences(page), sent.sentences);
  assert.deepEqual(asked.filter((url) => !url.startsWith(own.url) && !/^(blob|data):/.test(url)), []);
  await close();
});

test('the service worker answers for the page’s files alone: it opens no other way out', async () => {
  const heard = await kit.listener();
  const { page, close } = await receive(sent.url);
  await page.waitForSelector('html[data-kept]', { timeout: 20_000 });
  await page.reload();
  await page.waitForSelector('#received:not([hidden])');
  assert.ok(await page.evaluate(() => navigator.serviceWorker.controller !== null), 'the worker is in charge');
  await page.evaluate((to) => {
    fetch(`${to}fetch`).catch(() => {});
    navigator.sendBeacon(`${to}beacon`, 'x');
    document.body.append(Object.assign(new Image(), { src: `${to}img` }));
    new Worker(URL.createObjectURL(new Blob([`fetch(${JSON.stringify(`${to}worker`)})`], { type: 'text/javascript' })));
    navigator.serviceWorker.controller?.postMessage(`${to}message`);
  }, heard.url);
  await page.waitForTimeout(1200);
  assert.deepEqual(heard.requests, []);
  await close();
  heard.close();
});

test('opened on the analysis page alone, no service worker is started', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url);
  await page.waitForTimeout(500);
  assert.equal(await page.evaluate(async () => (await navigator.serviceWorker.getRegistrations()).length), 0);
  await close();
});

/** @param {import('playwright-core').Page} page @param {string} state */
async function clean(page, state) {
  await kit.reachable(page, state);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  assert.ok(wide <= 0, `${state}: ${wide} pixels too wide`);
}

/** @type {[string, import('playwright-core').BrowserContextOptions][]} */
const SCREENS = [
  ['a wide screen', {}],
  ['a wide screen at night', { colorScheme: 'dark' }],
  ['a phone of 320 pixels', { viewport: { width: 320, height: 640 }, hasTouch: true, isMobile: true }],
];

for (const [screen, options] of SCREENS) {
  test(`on ${screen} findings, the Send panel and the received view break no rule of accessibility or the width`, async () => {
    const { page, close } = await kit.open(stage.browser, stage.host.url, options);
    await kit.twoSets(page);
    await page.locator('#findings .measure').first().click();
    await kit.settled(page);
    await clean(page, 'findings with a row open');
    await send(page);
    await clean(page, 'the Send panel');
    await close();
    const received = await receive(sent.url, options);
    await clean(received.page, 'received');
    await received.page.locator('#received-closer > summary').click();
    await received.page.waitForSelector('#received-table tr[data-finding]');
    await clean(received.page, 'looked at closer');
    await received.close();
    const broken = await receive(`${stage.host.url}#f1=abc`, options);
    await clean(broken.page, 'a link that cannot be opened');
    await broken.close();
  });
}

test('the player’s page goes from what changed over the cue and the pictures to how sure that is, the cautions and the rest', async () => {
  for (const viewport of [{ width: 1280, height: 900 }, { width: 320, height: 640 }]) {
    const { page, close } = await receive(sent.url, { viewport });
    const order = ['h2[data-sentence]', '#received-title', '#received-cue', '.picture-seen-a', '.picture-seen-b', '#received-certain', '.certain [data-sentence]:last-child', '#received-care', '#received-closer'];
    const tops = await page.evaluate((all) => all.map((query) => document.querySelector(`#received-found ${query}`)?.getBoundingClientRect().top ?? NaN), order);
    assert.deepEqual(tops, [...tops].sort((a, b) => a - b), `${viewport.width} pixels`);
    assert.match(await page.innerText('#received-certain'), /^6 swings of “before” and 6 of .* clear change is larger than two swings differ in nineteen of twenty cases/);
    // The sentences are the sender's and speak of the player; so does everything else but the cautions.
    const words = await page.locator('#received-found > :not(.care)').allTextContents();
    assert.doesNotMatch(words.join(' '), /\byour?\b/i);
    const second = await page.locator('[data-sentence]').nth(1).evaluate((e) => parseFloat(getComputedStyle(e).fontSize));
    const first = await page.locator('[data-sentence]').nth(0).evaluate((e) => parseFloat(getComputedStyle(e).fontSize));
    assert.ok(second < 0.6 * first, `${second} under ${first}`);
    await close();
  }
});

test('printed from a phone the received page is the sheet that a wide screen prints, nothing squashed', async () => {
  const sheets = [];
  for (const options of [{ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true }, { viewport: { width: 1280, height: 900 } }]) {
    const { page, close } = await receive(sent.url, options);
    await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
    // What is drawn before printing must fit what paper lays out, which it does after the last word of the page.
    await page.emulateMedia({ media: 'print' });
    await page.setViewportSize({ width: 700, height: 1000 });
    const sheet = await page.evaluate(() => {
      const rem = parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;
      return [...document.querySelectorAll('.torques .picture, .picture-seen-feet')].map((figure) => {
        const canvas = /** @type {HTMLCanvasElement} */ (figure.querySelector('canvas'));
        const box = canvas.getBoundingClientRect();
        const words = [...figure.querySelectorAll('.instants span')].map((word) => word.getBoundingClientRect());
        return {
          squashed: canvas.width / canvas.height / (box.width / box.height),
          fine: canvas.width / box.width,
          wide: Math.round(box.width),
          high: Math.round(box.height / rem),
          strays: words.filter((word) => word.left < box.left - 2 || word.right > box.right + 12).length,
          words: words.length,
        };
      });
    });
    for (const { squashed, fine, high, strays } of sheet) {
      assert.ok(Math.abs(squashed - 1) < 0.02, JSON.stringify(sheet));
      assert.ok(fine > 2.9, JSON.stringify(sheet));
      assert.ok(high >= 150, `a lower picture has no room for its figures: ${JSON.stringify(sheet)}`);
      assert.equal(strays, 0, JSON.stringify(sheet));
    }
    assert.deepEqual(sheet.map(({ words }) => words), [3, 3, 0]);
    sheets.push(sheet.map(({ wide, high }) => [wide, high]));
    await close();
  }
  assert.deepEqual(sheets[0], sheets[1]);
});

test('on paper the received view and the findings are there, and the controls are not', async () => {
  const { page, close } = await receive(sent.url, { colorScheme: 'dark' });
  await page.emulateMedia({ media: 'print', colorScheme: 'light' });
  await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
  assert.ok((await kit.pixels(page, '.picture-seen-b canvas', '#ffffff')) > 10_000, 'drawn on white');
  assert.ok((await kit.pixels(page, '.picture-seen-b canvas', kit.TOWARD)) > 3000);
  for (const sentence of await page.locator('#received-found [data-sentence]').all()) assert.ok(await sentence.isVisible());
  assert.ok(await page.locator('#received-cue').isVisible());
  assert.ok(!(await page.locator('#theme').isVisible()));
  const paper = await page.pdf({ format: 'A4' });
  assert.ok(paper.length > 20_000, `${paper.length} bytes of paper`);
  await close();
  const own = await kit.open(stage.browser, stage.host.url);
  await kit.twoSets(own.page);
  await own.page.emulateMedia({ media: 'print' });
  await own.page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
  assert.ok(await own.page.locator('#findings table').isVisible());
  assert.ok(await own.page.locator('#findings svg.swings').first().isVisible());
  assert.ok(!(await own.page.locator('#send-open').isVisible()));
  assert.ok(!(await own.page.locator('#findings .choices').first().isVisible()));
  await own.close();
});
