// A watched folder. The picker itself cannot be clicked by a test: a stand-in gives the page a real folder of the
// browser's private file system, so that handles, sizes, times of change and failures are the browser's own.

import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';

import * as kit from './kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

let browser = /** @type {import('playwright-core').Browser} */ (/** @type {unknown} */ (null));
let host = /** @type {Awaited<ReturnType<typeof kit.host>>} */ (/** @type {unknown} */ (null));

before(async () => {
  [browser, host] = await Promise.all([kit.browse(), kit.host()]);
});

after(async () => {
  await browser.close();
  host.close();
});

/** @param {string} name @param {(page: Page) => Promise<void>} check @param {() => void} [init] */
function onPage(name, check, init) {
  test(name, async () => {
    const { page, complaints, close } = await kit.open(browser, host.url);
    try {
      await page.addInitScript(init ?? standIn);
      await page.reload();
      await page.waitForSelector('html[data-ready]');
      await check(page);
      assert.deepEqual(complaints, [], 'the page complains about nothing');
    } finally {
      await close();
    }
  });
}

function standIn() {
  Object.defineProperty(window, 'showDirectoryPicker', {
    value: async () => (await navigator.storage.getDirectory()).getDirectoryHandle('exports', { create: true }),
  });
}

/** Writes a file into the folder. @param {Page} page @param {string} name @param {Buffer} bytes */
function put(page, name, bytes) {
  return page.evaluate(
    async ([file, base64]) => {
      const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('exports', { create: true });
      const writer = await (await folder.getFileHandle(file, { create: true })).createWritable();
      await writer.write(Uint8Array.from(atob(base64), (c) => c.charCodeAt(0)));
      await writer.close();
    },
    [name, bytes.toString('base64')],
  );
}

/** @param {Page} page @param {string} text */
const says = (page, text) => page.waitForFunction((t) => document.querySelector('#watch-says')?.textContent?.includes(t), text);

onPage('each new export in a watched folder (stand-in for the picker) is in the Tray within two seconds', async (page) => {
  await put(page, 'harbour-range-before-1.c3d', (await kit.sample('harbour-range-before-1.c3d')).bytes);
  await put(page, 'notes.pdf', Buffer.from('%PDF'));
  await page.getByRole('button', { name: 'Watch a folder…' }).click();
  await says(page, 'Watching exports: 0 taken in');
  await page.waitForTimeout(1500);
  assert.equal(await page.locator('.recording').count(), 0, 'what lay there is not taken unasked');

  await page.selectOption('#watch-set', 'B');
  await put(page, 'harbour-range-after-2.c3d', (await kit.sample('harbour-range-after-2.c3d')).bytes);
  const complete = Date.now();
  await page.waitForSelector('.recording');
  assert.ok(Date.now() - complete < 2000, `after ${Date.now() - complete} ms`);
  await kit.ready(page, 1);
  assert.equal(await page.getByRole('radiogroup', { name: 'Set of harbour-range-after-2.c3d' }).getByLabel('B').isChecked(), true);

  await page.getByRole('button', { name: 'Take the 1 there too' }).click();
  await kit.ready(page, 2);
  assert.ok(await page.locator('#watch-take').isHidden());

  await put(page, 'harbour-range-after-1.csv', (await kit.sample('harbour-range-after-1.csv')).bytes);
  await page.waitForSelector('.recording[data-status="waiting"]');
  await put(page, 'harbour-range.rig.json', (await kit.sample('harbour-range.rig.json')).bytes);
  await kit.ready(page, 3);

  await page.getByRole('button', { name: 'Stop watching' }).click();
  await put(page, 'harbour-range-before-2.c3d', (await kit.sample('harbour-range-before-2.c3d')).bytes);
  await page.waitForTimeout(1800);
  assert.equal(await page.locator('.recording').count(), 3, 'nothing arrives after stopping');
  assert.equal(await page.evaluate(() => document.activeElement?.id), 'watch', 'the focus goes to where it can be started again');
});

onPage('a half-written export (stand-in for the picker) waits until it is whole', async (page) => {
  await page.getByRole('button', { name: 'Watch a folder…' }).click();
  await says(page, 'Watching');
  const { bytes } = await kit.sample('harbour-range-before-1.c3d');
  for (let part = 1; part <= 8; part += 1) {
    await put(page, 'swing.c3d', bytes.subarray(0, Math.floor((bytes.length * part) / 8)));
    if (part === 8) break;
    await page.waitForTimeout(300);
    assert.equal(await page.locator('.recording, #refused li').count(), 0, `part ${part} of 8 waits`);
  }
  const complete = Date.now();
  await kit.ready(page, 1);
  assert.ok(Date.now() - complete < 2500, 'whole, and read');
  assert.equal(await page.locator('#refused li').count(), 0);
  await put(page, 'swing.c3d', (await kit.sample('harbour-range-before-2.c3d')).bytes);
  await kit.ready(page, 2);
});

onPage('a folder that is lost is said in one sentence (stand-in for the picker)', async (page) => {
  await page.getByRole('button', { name: 'Watch a folder…' }).click();
  await says(page, 'Watching');
  await page.evaluate(async () => (await navigator.storage.getDirectory()).removeEntry('exports', { recursive: true }));
  await page.getByText('exports: the folder is no longer there, so it is not watched any more; choose it again where it is now').waitFor();
  assert.ok(await page.locator('#watch').isVisible());
});

onPage(
  'a permission that is taken back is said in one sentence (stand-in for the picker and for the folder)',
  async (page) => {
    await page.getByRole('button', { name: 'Watch a folder…' }).click();
    await says(page, 'Watching');
    await page.evaluate(() => Object.assign(window, { denied: true }));
    await page.getByText('bay 1: the browser no longer lets this page look into it, so it is not watched any more; choose it again').waitFor();
  },
  () => {
    const values = async function* () {
      if ('denied' in window) throw new DOMException('no', 'NotAllowedError');
    };
    Object.defineProperty(window, 'showDirectoryPicker', { value: async () => ({ name: 'bay 1', values }) });
  },
);

onPage(
  'where the browser cannot watch, the button is absent and dropping works',
  async (page) => {
    assert.equal(await page.getByRole('button', { name: /Watch/ }).count(), 0);
    await kit.drop(page, [await kit.sample('harbour-range-before-1.c3d')]);
    await kit.ready(page, 1);
  },
  () => {
    Reflect.deleteProperty(window, 'showDirectoryPicker');
  },
);
