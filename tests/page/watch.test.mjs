// A watched folder. The picker itself cannot be clicked by a test: a stand-in gives the page a real folder of the
// browser's private file system, so that handles, sizes, times of change and failures are the browser's own.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import * as kit from './kit.mjs';

const stage = kit.suite();

/** @typedef {import('playwright-core').Page} Page */

/** @param {string} name @param {(page: Page) => Promise<void>} check @param {() => void} [init] */
function onPage(name, check, init) {
  test(name, async () => {
    const { page, complaints, close } = await kit.open(stage.browser, stage.host.url);
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
    value: async () => {
      const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('exports', { create: true });
      // Before each look a test may have something happen on the disk.
      const values = async function* () {
        await /** @type {any} */ (window).beforeLook?.();
        yield* folder.values();
      };
      return { name: folder.name, values };
    },
  });
}

/** Writes a file into the folder, or below it. @param {Page} page @param {string} path @param {Buffer} bytes */
function put(page, path, bytes) {
  return page.evaluate(
    async ([file, base64]) => {
      let folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('exports', { create: true });
      const parts = file.split('/');
      const name = /** @type {string} */ (parts.pop());
      for (const part of parts) folder = await folder.getDirectoryHandle(part, { create: true });
      const writer = await (await folder.getFileHandle(name, { create: true })).createWritable();
      await writer.write(Uint8Array.from(atob(base64), (c) => c.charCodeAt(0)));
      await writer.close();
    },
    [path, bytes.toString('base64')],
  );
}

/** @param {Page} page @param {string} text */
const says = (page, text) => page.waitForFunction((t) => document.querySelector('#watch-says')?.textContent?.includes(t), text);

/** How often the folder was looked into. @param {Page} page */
const looks = async (page) => Number(await page.getAttribute('.watch', 'data-rounds'));

/** Waits for so many more looks: what was to be taken by then has been. @param {Page} page @param {number} more */
async function looked(page, more) {
  const from = await looks(page);
  await page.waitForFunction((to) => Number(document.querySelector('.watch')?.getAttribute('data-rounds')) >= to, from + more);
}

/** Names in the Tray. @param {Page} page */
const names = (page) => page.locator('.recording .name').allInnerTexts();

/** How many looks it took until as many recordings are there. @param {Page} page @param {number} from @param {number} count */
async function looksUntil(page, from, count) {
  const at = await page.waitForFunction(
    (n) => document.querySelectorAll('.recording').length >= n && document.querySelector('.watch')?.getAttribute('data-rounds'),
    count,
  );
  return Number(await at.jsonValue()) - from;
}

onPage('each new export in a watched folder (stand-in for the picker) is in the Tray within two seconds', async (page) => {
  await put(page, 'harbour-range-before-1.c3d', (await kit.sample('harbour-range-before-1.c3d')).bytes);
  await put(page, 'notes.pdf', Buffer.from('%PDF'));
  await page.getByRole('button', { name: 'Watch a folder…' }).click();
  await says(page, 'Watching exports: 0 taken in');
  // A busy machine may look late, never early: the quickest of some looks is the pace.
  const pace = await page.evaluate(
    () =>
      new Promise((done) => {
        const gaps = /** @type {number[]} */ ([]);
        let last = NaN;
        const watch = new MutationObserver(() => {
          const now = performance.now();
          if (last > 0) gaps.push(now - last);
          last = now;
          if (gaps.length < 6) return;
          watch.disconnect();
          done(Math.min(...gaps));
        });
        watch.observe(/** @type {Element} */ (document.querySelector('.watch')), { attributeFilter: ['data-rounds'] });
      }),
  );
  assert.ok(Number(pace) < 650, `looks ${pace} ms apart`);
  assert.equal(await page.locator('.recording').count(), 0, 'what lay there is not taken unasked');

  await page.selectOption('#watch-set', 'B');
  await put(page, 'harbour-range-after-2.c3d', (await kit.sample('harbour-range-after-2.c3d')).bytes);
  const taking = await looksUntil(page, await looks(page), 1);
  assert.ok(taking <= 3, `taken at the third look, within 1.95 s: ${taking}`);
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
  const until = await looks(page);
  await put(page, 'harbour-range-before-2.c3d', (await kit.sample('harbour-range-before-2.c3d')).bytes);
  await page.waitForTimeout(1800);
  assert.equal(await looks(page), until, 'nobody looks any more');
  assert.equal(await page.locator('.recording').count(), 3, 'nothing arrives after stopping');
  assert.equal(await page.evaluate(() => document.activeElement?.id), 'watch', 'the focus goes to where it can be started again');
});

for (const folder of ['', 'today/bay 2/']) {
  onPage(`a half-written export (stand-in for the picker) waits until it is whole${folder && ', in a folder below too'}`, async (page) => {
    await page.getByRole('button', { name: 'Watch a folder…' }).click();
    await says(page, 'Watching');
    const { bytes } = await kit.sample('harbour-range-before-1.c3d');
    // It grows whenever it is looked at, however slow this machine is; what is in the Tray by then is noted.
    await page.evaluate(
      async ([below, base64]) => {
        const whole = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
        const seen = /** @type {number[]} */ ([]);
        const beforeLook = async () => {
          if (seen.length === 8) return;
          seen.push(document.querySelectorAll('.recording, #refused li').length);
          let at = await (await navigator.storage.getDirectory()).getDirectoryHandle('exports');
          for (const part of below.split('/').filter(Boolean)) at = await at.getDirectoryHandle(part, { create: true });
          const writer = await (await at.getFileHandle('swing.c3d', { create: true })).createWritable();
          await writer.write(whole.subarray(0, Math.floor((whole.length * seen.length) / 8)));
          await writer.close();
          if (seen.length === 8) Object.assign(window, { wholeAt: Number(document.querySelector('.watch')?.getAttribute('data-rounds')) });
        };
        Object.assign(window, { seen, beforeLook });
      },
      [folder, bytes.toString('base64')],
    );
    await page.waitForFunction(() => 'wholeAt' in window);
    const whole = await page.evaluate(() => /** @type {any} */ (window).wholeAt);
    assert.ok((await looksUntil(page, whole, 1)) <= 3, 'whole, and taken at the third look');
    await kit.ready(page, 1);
    assert.deepEqual(await page.evaluate(() => /** @type {any} */ (window).seen), Array(8).fill(0), 'every part waited');
    assert.equal(await page.locator('#refused li').count(), 0);
    assert.deepEqual(await names(page), ['swing.c3d']);
  });
}

onPage('an export that rested while half written is read anew when it is whole (stand-in for the picker)', async (page) => {
  await page.getByRole('button', { name: 'Watch a folder…' }).click();
  await says(page, 'Watching');
  const { bytes } = await kit.sample('harbour-range-before-1.c3d');
  await put(page, 'swing.c3d', bytes.subarray(0, bytes.length / 2));
  await page.waitForSelector('.recording, #refused li');
  await kit.settled(page);
  await put(page, 'swing.c3d', bytes);
  await page.waitForFunction(() => document.querySelector('#watch-again')?.textContent !== '');
  await kit.ready(page, 1);
  assert.equal(await page.locator('#refused li').count(), 0);
  assert.equal(await page.innerText('#watch-again'), 'swing.c3d was still being written: it is read anew.');
  assert.ok(await page.locator('#watch-newest').isHidden());
  const watched = await kit.measured(page, 'backswing_s');
  await page.click('#watch-stop');
  await page.getByRole('button', { name: 'Remove swing.c3d' }).click();
  await kit.drop(page, [{ name: 'dropped.c3d', bytes }]);
  await kit.ready(page, 1);
  assert.equal(watched, await kit.measured(page, 'backswing_s'), 'the whole of it was read');
});

onPage('an export that is written again comes beside the earlier one, and that is said (stand-in for the picker)', async (page) => {
  await page.selectOption('#handed', 'left');
  await page.getByRole('button', { name: 'Watch a folder…' }).click();
  await says(page, 'Watching');
  const one = (await kit.sample('harbour-range-before-1.c3d')).bytes;
  await put(page, 'swing.c3d', one);
  await kit.ready(page, 1);
  const before = await kit.measured(page, 'backswing_s');
  await put(page, 'swing.c3d', one);
  await looked(page, 4);
  assert.deepEqual(await names(page), ['swing.c3d'], 'written again with the same bytes is no news');

  await put(page, 'swing.c3d', (await kit.sample('harbour-range-before-2.c3d')).bytes);
  await kit.ready(page, 2);
  assert.deepEqual(await names(page), ['swing.c3d', 'swing (2).c3d']);
  assert.equal(await page.innerText('#watch-again'), 'swing.c3d was written again and is another now: it is in the Tray beside the earlier one, as swing (2).c3d. Both count until you remove one.');
  // The worker changes when two sets are compared, and reads everything again: the earlier file is no longer on the disk.
  await page.getByRole('radiogroup', { name: 'Set of swing (2).c3d' }).getByLabel('B').check();
  await page.locator('#findings:not([hidden])').waitFor();
  await kit.ready(page, 2);
  assert.equal(await kit.measured(page, 'backswing_s'), before, 'the earlier one is what it was');
  await page.getByRole('button', { name: 'Remove the earlier one' }).click();
  await kit.ready(page, 1);
  assert.deepEqual(await names(page), ['swing (2).c3d']);
  await page.click('#undo');
  await kit.ready(page, 2);
});

onPage('folders below are looked into, three deep, and what this page saved there is left alone (stand-in for the picker)', async (page) => {
  await page.getByRole('button', { name: 'Watch a folder…' }).click();
  await says(page, 'Recordings, tables, rig files and films that lie in it, or up to 3 folders deeper.');
  const { bytes } = await kit.sample('harbour-range-before-1.c3d');
  await put(page, 'a/b/c/three.c3d', bytes);
  await put(page, '.hidden/never.c3d', bytes);
  await put(page, 'session.footing.json', Buffer.from('{"format":"footing-session/1"}'));
  await kit.ready(page, 1);
  await put(page, 'a/b/c/d/four.c3d', bytes);
  await says(page, 'Not all of the folders below are looked into');
  await put(page, 'b/three.c3d', (await kit.sample('harbour-range-before-2.c3d')).bytes);
  await kit.ready(page, 2);
  await looked(page, 3);
  assert.deepEqual(await names(page), ['three.c3d', 'b/three.c3d'], 'of two that are named alike the second says where it lies');
  assert.equal(await page.locator('#refused li').count(), 0);
  await page.evaluate(async () => (await (await navigator.storage.getDirectory()).getDirectoryHandle('exports')).removeEntry('a', { recursive: true }));
  await looked(page, 2);
  await says(page, 'Watching exports: 2 taken in');
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
