// Zip archives and workbooks that fall on the page.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import * as kit from './kit.mjs';
import { workbook, zip } from './packing.mjs';

const stage = kit.suite();

/** @param {string} name @param {string} inside */
const called = async (name, inside) => ({ ...(await kit.sample(name)), name: inside });

/** @param {import('playwright-core').Page} page */
const names = (page) => page.locator('.recording .name').allTextContents();

/** @param {import('playwright-core').Page} page */
const said = (page) => page.locator('#refused li span').allTextContents();

/** The lowest torque of the recording of this name. @param {import('playwright-core').Page} page @param {string} name */
async function lowest(page, name) {
  await page.locator('.recording .name', { hasText: name }).click();
  await kit.settled(page);
  return kit.measured(page, 'torque_min_nm');
}

test('an archive becomes its recordings, its rig first; the module for it is compiled when the first comes', async () => {
  const { page, complaints, close } = await kit.open(stage.browser, stage.host.url);
  await page.evaluate(() => {
    const { compile } = WebAssembly;
    Object.assign(window, { compiled: 0 });
    WebAssembly.compile = (bytes) => {
      /** @type {any} */ (window).compiled += 1;
      return compile(bytes);
    };
  });
  const compiled = () => page.evaluate(() => /** @type {any} */ (window).compiled);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await kit.sample('harbour-range-before-3.c3d')]);
  await kit.ready(page, 1);
  assert.equal(await compiled(), 0, 'nothing of it before a packed file');
  // What a hand does between two drops parts their steps.
  await page.locator('.recording .name').click();

  const pack = zip('monday.zip', [
    await called('harbour-range-before-2.c3d', 'bay 1/swing 10.c3d'),
    await called('harbour-range-before-1.c3d', 'bay 1/swing 2.c3d'),
    await called('harbour-range-before-1.csv', 'bay 1/table.csv'),
    await kit.sample('harbour-range.rig.json'),
    kit.written('__MACOSX/._swing.c3d', 'x'),
    kit.written('notes.md', 'Windy, from the left.'),
  ]);
  await kit.drop(page, [pack]);
  await kit.ready(page, 4);
  assert.deepEqual(await names(page), [
    'harbour-range-before-3.c3d',
    'monday.zip/bay 1/swing 2.c3d',
    'monday.zip/bay 1/swing 10.c3d',
    'monday.zip/bay 1/table.csv',
  ]);
  assert.equal(await page.textContent('#rig'), 'Tables are read with monday.zip/harbour-range.rig.json');
  assert.deepEqual(await said(page), ['monday.zip: left out 1 file that is no recording (notes.md), 1 hidden file']);
  assert.equal(await compiled(), 1);
  const truth = (await kit.truth('harbour-range-before-1')).measures['stance-centre'];
  for (const name of ['swing 2.c3d', 'table.csv']) {
    const low = await lowest(page, name);
    assert.ok(Math.abs(low - truth.torque_min_nm) < 1.5, `${name}: ${low} is ${truth.torque_min_nm}`);
  }
  // Taking in is one step, and comes back whole.
  await page.locator('#undo').click();
  await page.waitForFunction(() => document.querySelectorAll('.recording').length === 1);
  await page.locator('#redo').click();
  await kit.ready(page, 4);
  assert.deepEqual(complaints, []);
  await close();
});

test('a workbook is read as the tables in it, and is there again in a saved session', async () => {
  const { page, complaints, close } = await kit.open(stage.browser, stage.host.url);
  await page.selectOption('#handed', 'left');
  const text = async (/** @type {number} */ n) => (await kit.sample(`harbour-range-before-${n}.csv`)).bytes.toString();
  const one = workbook('one.xlsx', [['Cover', 'Player\nAnonymous'], ['Samples', await text(1)]]);
  const two = workbook('two.xlsx', [['Swing 1', await text(1)], ['Swing 2', await text(2)], ['Summary', 'swing,peak\n1,2\n2,3\n']]);
  await kit.drop(page, [await kit.sample('harbour-range.rig.json'), one, two]);
  await kit.ready(page, 3);
  assert.deepEqual(await names(page), ['one.xlsx', 'two.xlsx: Swing 1', 'two.xlsx: Swing 2']);
  const [left] = await said(page);
  assert.match(left, /^two\.xlsx: read from “Swing 1”, “Swing 2”; left out, .*: “Summary”$/);
  const truth = (await kit.truth('harbour-range-before-1')).measures['stance-centre'];
  const low = await lowest(page, 'one.xlsx');
  assert.ok(Math.abs(low - truth.torque_min_nm) < 1.5, `${low} is ${truth.torque_min_nm}`);
  assert.equal(await lowest(page, 'two.xlsx: Swing 1'), low);

  const download = page.waitForEvent('download');
  await page.locator('#session-save').click();
  const stream = await (await download).createReadStream();
  const chunks = /** @type {Buffer[]} */ ([]);
  for await (const chunk of stream) chunks.push(chunk);
  const other = await kit.open(stage.browser, stage.host.url);
  await kit.drop(other.page, [{ name: 'session.json', bytes: Buffer.concat(chunks) }]);
  await kit.ready(other.page, 3);
  assert.deepEqual(await names(other.page), ['one.xlsx', 'two.xlsx: Swing 1', 'two.xlsx: Swing 2']);
  assert.equal(await lowest(other.page, 'one.xlsx'), low);
  assert.deepEqual([...complaints, ...other.complaints], []);
  await Promise.all([close(), other.close()]);
});

test('what cannot be unpacked is one sentence each, and the rest is read', async () => {
  const { page, complaints, close } = await kit.open(stage.browser, stage.host.url);
  const swing = await kit.sample('harbour-range-before-1.c3d');
  const good = zip('good.zip', [swing]);
  const damaged = zip('damaged.zip', [{ ...swing, name: 'a.c3d' }, { ...swing, name: 'b.c3d' }, { ...good, name: 'inner.zip' }]);
  // Inside the packed bytes of the first.
  damaged.bytes[200] ^= 0x55;
  const cut = { name: 'cut.zip', bytes: good.bytes.subarray(0, 5000) };
  const bomb = zip('bomb.zip', [{ name: 'zeros.csv', bytes: Buffer.alloc(40 << 20, '0') }]);
  await kit.drop(page, [damaged, cut, kit.written('torn.xlsx', 'PK\u0003\u0004 and xl/workbook.xml and no more'), bomb, { ...good, name: 'good.zip' }]);
  await kit.ready(page, 2);
  assert.deepEqual(await names(page), ['damaged.zip/b.c3d', 'good.zip/harbour-range-before-1.c3d']);
  const sentences = await said(page);
  const expected = [
    /^damaged\.zip\/a\.c3d: the file is damaged: .*; expected .*; try /,
    /^damaged\.zip\/inner\.zip: it is an archive inside an archive; expected .*; try unpacking the outer one first$/,
    /^cut\.zip: the file is damaged: .*; expected a whole zip archive or workbook; try /,
    /^torn\.xlsx: the file is damaged: .*; expected a whole zip archive or workbook; try /,
    /^bomb\.zip\/zeros\.csv: it unpacks to 41943040 bytes, more than the \d+ it may; expected .*; try /,
  ];
  assert.equal(sentences.length, expected.length, sentences.join('\n'));
  for (const [i, pattern] of expected.entries()) assert.match(sentences[i], pattern);
  assert.deepEqual(complaints, []);
  await close();
});

test('an archive that comes into a watched folder is opened as a dropped one is', async () => {
  const { page, complaints, close } = await kit.open(stage.browser, stage.host.url);
  // The picker cannot be clicked by a test: a folder of the browser's private file system stands in.
  await page.addInitScript(() =>
    Object.defineProperty(window, 'showDirectoryPicker', { value: async () => (await navigator.storage.getDirectory()).getDirectoryHandle('packs', { create: true }) }),
  );
  await page.reload();
  await page.waitForSelector('html[data-ready]');
  await page.getByRole('button', { name: 'Watch a folder…' }).click();
  await page.waitForFunction(() => document.querySelector('#watch-says')?.textContent?.includes('Watching packs'));
  const pack = zip('new.zip', [await kit.sample('harbour-range-before-1.c3d')]);
  await page.evaluate(async (base64) => {
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle('packs');
    const writer = await (await folder.getFileHandle('new.zip', { create: true })).createWritable();
    await writer.write(Uint8Array.from(atob(base64), (c) => c.charCodeAt(0)));
    await writer.close();
  }, pack.bytes.toString('base64'));
  await kit.ready(page, 1);
  assert.deepEqual(await names(page), ['new.zip/harbour-range-before-1.c3d']);
  assert.deepEqual(complaints, []);
  await close();
});
