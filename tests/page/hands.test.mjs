// What hands do: the whole job by keys alone; a folder that is browsed to, and one that falls on the page.

import assert from 'node:assert/strict';
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';

import * as kit from './kit.mjs';

const { onPage } = kit.suite();

/** @typedef {import('playwright-core').Page} Page */

const FOUR = ['harbour-range-before-1.c3d', 'harbour-range-before-2.c3d', 'harbour-range-after-1.csv', 'harbour-range-after-2.csv'];

/** Goes there by the Tab key. @param {Page} page @param {string} selector @param {string} [key] */
async function tabTo(page, selector, key = 'Tab') {
  for (let i = 0; i < 300; i += 1) {
    if (await page.evaluate((query) => document.activeElement?.matches(query) ?? false, selector)) return;
    await page.keyboard.press(key);
  }
  assert.fail(`${selector} is not reached by ${key}`);
}

onPage('by keys alone: files, hand, sets, the top moved and given back, A and B, a definition', async (page) => {
  // The system's own dialog is not the page's: what a person would choose in it is handed over.
  const samples = await Promise.all([...FOUR, 'harbour-range.rig.json'].map(kit.sample));
  const asked = page.waitForEvent('filechooser');
  await tabTo(page, '#browse');
  await page.keyboard.press('Enter');
  const chooser = await asked;
  assert.ok(chooser.isMultiple());
  await chooser.setFiles(samples.map(({ name, bytes }) => ({ name, mimeType: '', buffer: bytes })));
  await kit.ready(page, 4);

  await tabTo(page, '#handed');
  await page.keyboard.press('l');
  await kit.settled(page);
  assert.equal(await page.inputValue('#handed'), 'left');
  const { measures } = await kit.truth('harbour-range-before-1');
  assert.ok(Math.abs((await kit.measured(page, 'torque_min_nm')) - measures['stance-centre'].torque_min_nm) < 1.5);

  for (const name of FOUR.slice(2)) {
    await tabTo(page, `[aria-label="Set of ${name}"] input`, 'Shift+Tab');
    await page.keyboard.press('ArrowRight');
    await kit.ready(page, 4);
  }
  assert.match(await page.innerText('tr[data-measure="torque_min_nm"] .of-B'), /\(n 2\)/);

  const [before, ratio] = [await kit.measured(page, 'downswing_s'), await kit.measured(page, 'tempo_ratio')];
  await tabTo(page, '.marker[data-event="top"] .handle');
  for (let i = 1; i <= 3; i += 1) {
    await page.keyboard.press('Shift+ArrowLeft');
    await kit.settled(page);
    assert.ok(Math.abs((await kit.measured(page, 'downswing_s')) - (before + 0.01 * i)) < 0.0015, `after ${i} presses`);
  }
  await page.keyboard.press('ArrowLeft');
  await kit.settled(page);
  assert.ok(Math.abs((await kit.measured(page, 'downswing_s')) - (before + 0.031)) < 0.0015);
  assert.ok((await kit.measured(page, 'tempo_ratio')) < ratio);
  assert.match(await page.innerText('#events'), /top, by hand/);
  await page.keyboard.press('Delete');
  await kit.settled(page);
  assert.equal(await kit.measured(page, 'downswing_s'), before);
  assert.equal(await page.evaluate(() => document.activeElement?.getAttribute('aria-label')), 'top', 'the focus stays');
  // From anywhere, a letter goes to the top.
  await tabTo(page, '#cursor');
  await page.keyboard.press('t');
  assert.equal(await page.evaluate(() => document.activeElement?.getAttribute('aria-label')), 'top');

  await tabTo(page, '#show-sets', 'Shift+Tab');
  await page.keyboard.press('Enter');
  await kit.settled(page);
  assert.deepEqual((await page.locator('.chart-torque .value').allTextContents()).map((t) => t.replace(/ \S+ N·m$/, '')), ['A', 'B', 'this recording']);
  await tabTo(page, '#measures .measure');
  await page.keyboard.press('Space');
  await page.waitForSelector('#measures .measure[aria-expanded="true"]');
});

/** A folder with folders in it, what systems leave beside files, and more entries than a browser hands over at once. */
async function folderOfSwings() {
  const folder = await mkdtemp(join(tmpdir(), 'footing-folder-'));
  const files = [['.', 'harbour-range.rig.json'], ['bay 1', 'harbour-range-before-1.csv'], ['bay 1/monday', 'harbour-range-before-2.c3d'], ['bay 1/.bin', 'harbour-range-before-3.c3d']];
  for (const [place, name] of files) {
    await mkdir(join(folder, place), { recursive: true });
    await writeFile(join(folder, place, name), (await kit.sample(name)).bytes);
  }
  for (let i = 0; i < 250; i += 1) await writeFile(join(folder, `.left-${i}`), 'x');
  return folder;
}

onPage('a folder that is browsed to is read with everything below it', async (page) => {
  const folder = await folderOfSwings();
  try {
    await page.setInputFiles('#folder-input', folder);
    await kit.ready(page, 2);
  } finally {
    await rm(folder, { recursive: true });
  }
});

onPage('a folder and a file that fall on the page together are read with everything below; what is not handed over is said', async (page) => {
  const folder = await folderOfSwings();
  const file = join(folder, 'harbour-range-after-1.c3d');
  const lone = await mkdtemp(join(tmpdir(), 'footing-file-'));
  const beside = join(lone, 'harbour-range-after-2.c3d');
  try {
    await writeFile(file, (await kit.sample('harbour-range-after-1.c3d')).bytes);
    await writeFile(beside, (await kit.sample('harbour-range-after-2.c3d')).bytes);
    // What a person may not read, a check that runs as root may: the browser is made to refuse it.
    await page.evaluate(() => {
      const { webkitGetAsEntry: entry } = DataTransferItem.prototype;
      DataTransferItem.prototype.webkitGetAsEntry = function () {
        DataTransferItem.prototype.webkitGetAsEntry = entry;
        const first = /** @type {FileSystemEntry} */ (entry.call(this));
        // The class of files has no name of its own to be reached by: the file that lies beside the folder has it.
        const kind = Object.getPrototypeOf(first);
        const { file: get } = kind;
        kind.file = function (/** @type {(file: File) => void} */ done, /** @type {(error: Error) => void} */ fail) {
          if (this.name === 'harbour-range-after-1.c3d') fail(new DOMException('it may not be read', 'NotReadableError'));
          else get.call(this, done, fail);
        };
        return first;
      };
    });
    const client = await page.context().newCDPSession(page);
    const data = { items: [], files: [beside, folder], dragOperationsMask: 1 };
    for (const type of /** @type {const} */ (['dragEnter', 'dragOver', 'drop'])) await client.send('Input.dispatchDragEvent', { type, x: 600, y: 400, data });
    await kit.ready(page, 3);
    const names = (await page.locator('.recording .name').allTextContents()).sort();
    assert.deepEqual(names, ['harbour-range-after-2.c3d', 'harbour-range-before-1.csv', 'harbour-range-before-2.c3d']);
    assert.match(await page.innerText('#rig'), /harbour-range\.rig\.json/);
    assert.match(await page.innerText('#refused'), /^harbour-range-after-1\.c3d: the browser does not hand over this file \(it may not be read\); expected .*; try /);
  } finally {
    for (const one of [folder, lone]) await rm(one, { recursive: true });
  }
});

/** Tables of one name in several folders, and beside one of them what is named as its film. */
async function sameNames() {
  const folder = await mkdtemp(join(tmpdir(), 'footing-names-'));
  for (const [place, name, from] of [['.', 'swing.csv', 'harbour-range-before-1.csv'], ['tuesday', 'swing.csv', 'harbour-range-before-2.csv'], ['tuesday', 'other.csv', 'harbour-range-before-3.csv'], ['.', 'bay.rig.json', 'harbour-range.rig.json']]) {
    await mkdir(join(folder, place), { recursive: true });
    await writeFile(join(folder, place, name), (await kit.sample(from)).bytes);
  }
  await writeFile(join(folder, 'tuesday', 'swing.mp4'), 'no film, but named as one');
  return folder;
}

for (const way of /** @type {const} */ (['browsed to', 'dropped'])) {
  onPage(`in a folder that is ${way}, files of one name are told apart by where they lie`, async (page) => {
    const folder = await sameNames();
    try {
      if (way === 'dropped') {
        const client = await page.context().newCDPSession(page);
        const data = { items: [], files: [folder], dragOperationsMask: 1 };
        for (const type of /** @type {const} */ (['dragEnter', 'dragOver', 'drop'])) await client.send('Input.dispatchDragEvent', { type, x: 600, y: 400, data });
      } else await page.setInputFiles('#folder-input', folder);
      await kit.ready(page, 3);
      const names = (await page.locator('.recording .name').allTextContents()).sort();
      assert.deepEqual(names, ['other.csv', 'swing.csv', 'tuesday/swing.csv']);
      assert.equal(await page.innerText('#rig'), 'Tables are read with bay.rig.json');
      await page.waitForSelector('#refused li');
      assert.match(await page.locator('#refused li span').innerText(), /^tuesday\/swing\.mp4: /, 'a film keeps to the recording beside it');
    } finally {
      await rm(folder, { recursive: true });
    }
  });
}

onPage('two folders that hold the same names are told apart by their own', async (page) => {
  const [one, two] = [await sameNames(), await sameNames()];
  try {
    const client = await page.context().newCDPSession(page);
    const data = { items: [], files: [one, two], dragOperationsMask: 1 };
    for (const type of /** @type {const} */ (['dragEnter', 'dragOver', 'drop'])) await client.send('Input.dispatchDragEvent', { type, x: 600, y: 400, data });
    await kit.ready(page, 6);
    const names = (await page.locator('.recording .name').allTextContents()).sort();
    const expected = [one, two].flatMap((folder) => ['swing.csv', 'tuesday/swing.csv', 'tuesday/other.csv'].map((name) => `${basename(folder)}/${name}`));
    assert.ok(names.every((name) => expected.includes(name)), names.join(', '));
    assert.equal(new Set(names).size, 6);
  } finally {
    for (const folder of [one, two]) await rm(folder, { recursive: true });
  }
});
