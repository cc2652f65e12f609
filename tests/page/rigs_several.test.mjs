// Several rig files in one drop: each table is read with the one that fits its columns, and where that is not one, it asks.

import assert from 'node:assert/strict';

import * as kit from './kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

const { onPage } = kit.suite(async (page) => {
  await page.selectOption('#handed', 'left');
});

const HARBOUR = 'harbour-range.rig.json';
const DRIVER = 'driver-right.rig.json';
const FIRST = 'harbour-range-before-1.csv';
const SECOND = 'harbour-range-before-2.csv';

/** @param {Page} page @param {(string | {name: string, bytes: Buffer})[]} files */
const drop = async (page, files) => kit.drop(page, await Promise.all(files.map((f) => (typeof f === 'string' ? kit.sample(f) : f))));

/** The rig of a bay with the same columns whose second plate lies further off, which every torque shows. */
async function bay2() {
  const rig = JSON.parse((await kit.sample(HARBOUR)).bytes.toString());
  rig.plates[1].centre_m[1] += 0.1;
  return kit.written('bay-2.rig.json', JSON.stringify(rig));
}

/** The torque of the recording with this name. @param {Page} page @param {string} name */
async function torque(page, name) {
  await page.getByRole('button', { name, exact: true }).click();
  await kit.settled(page);
  return kit.measured(page, 'torque_max_nm');
}

/** What it is by one rig alone. @param {Page} page @param {(string | {name: string, bytes: Buffer})[]} files @param {string} name */
async function alone(page, files, name) {
  await drop(page, files);
  await kit.ready(page, 1);
  const value = await torque(page, name);
  await page.reload();
  await page.waitForSelector('html[data-ready]');
  await page.selectOption('#handed', 'left');
  return value;
}

/** @param {Page} page @param {string} name */
const line = (page, name) => page.locator('.recording', { hasText: name });

onPage('two rigs in one drop: each table is read with the one that fits its columns, those that come later too', async (page) => {
  const expected = await alone(page, [HARBOUR, FIRST], FIRST);
  await drop(page, [HARBOUR, FIRST, DRIVER, 'driver-right-2.csv']);
  await kit.ready(page, 2);
  assert.equal(await torque(page, FIRST), expected);
  assert.equal(await page.innerText('#rig'), `Tables are read with ${HARBOUR} or ${DRIVER}, whichever fits their columns`);
  await page.check('#session-keep');
  await kit.kept(page);
  await page.reload();
  await kit.ready(page, 2);
  await drop(page, ['driver-right-3.csv', SECOND]);
  await kit.ready(page, 4);
  assert.equal(await torque(page, FIRST), expected);
});

onPage('two rigs that fit alike: the table waits for a person’s word, which is a step back and on', async (page) => {
  const bay = await bay2();
  const [here, there] = [await alone(page, [HARBOUR, FIRST], FIRST), await alone(page, [bay, FIRST], FIRST)];
  assert.ok(Math.abs(there - here) > 0.5, `${here} here, ${there} there`);
  await drop(page, [HARBOUR, FIRST, bay]);
  await page.waitForSelector('.recording[data-status="waiting"]');
  await kit.settled(page);
  const says = `${FIRST}: ${HARBOUR} and bay-2.rig.json fit it alike, expected the one rig of the plates it was measured with; choose it in the Tray, or drop it alone`;
  assert.equal(await line(page, FIRST).locator('.brief').innerText(), says);
  assert.match(await page.innerText('#rig'), new RegExp(`More than one fits ${FIRST}: which are its plates\\?`));
  await page.getByRole('button', { name: 'Read it with bay-2.rig.json' }).click();
  await kit.ready(page, 1);
  assert.equal(await torque(page, FIRST), there);
  assert.ok(await page.locator('#rig button').count() === 0);
  assert.equal((await page.innerText('#undo')).trim(), `Undo reading ${FIRST} with bay-2.rig.json`);
  await page.click('#undo');
  await page.waitForSelector('.recording[data-status="waiting"]');
  await kit.settled(page);
  assert.equal(await line(page, FIRST).locator('.brief').innerText(), says);
  await page.click('#redo');
  await kit.ready(page, 1);
  assert.equal(await torque(page, FIRST), there);
  await page.click('#undo');
  await page.waitForSelector('.recording[data-status="waiting"]');
  await page.getByRole('button', { name: `Read it with ${HARBOUR}` }).focus();
  await page.keyboard.press('Enter');
  await kit.ready(page, 1);
  assert.notEqual(await page.evaluate(() => document.activeElement?.tagName), 'BODY', 'the focus stays on the page');
  assert.equal(await torque(page, FIRST), here);
});

onPage('several tables that two rigs fit alike are read with the one that is dropped alone', async (page) => {
  const bay = await bay2();
  const there = await alone(page, [bay, FIRST], FIRST);
  await drop(page, [HARBOUR, FIRST, SECOND, bay]);
  await page.waitForFunction(() => document.querySelectorAll('.recording[data-status="waiting"]').length === 2);
  await kit.settled(page);
  assert.match(await page.innerText('#rig'), /More than one fits 2 tables: which are their plates\?.*Read them with harbour/s);
  await drop(page, [bay]);
  await kit.ready(page, 2);
  assert.equal(await torque(page, FIRST), there);
});

onPage('a table that none of the rigs fits waits and names them all; a copy of a rig is no second one', async (page) => {
  await drop(page, [DRIVER, 'vertical-only.rig.json', kit.written('strange.csv', 'a,b\n1,2\n3,4\n'), kit.written('letter.txt', 'Dear coach,\nthe plates are fine.\n'), kit.written('cut.c3d', 'Dear coach')]);
  await page.waitForSelector('.recording[data-status="waiting"], #refused li');
  await kit.settled(page);
  const said = await line(page, 'strange.csv').innerText();
  assert.match(said, /strange\.csv: neither driver-right\.rig\.json nor vertical-only\.rig\.json fits it, expected .*; drop that rig, or wire it here/);
  assert.match(said, /they stay for the others/);
  assert.deepEqual((await page.locator('#refused li span').allTextContents()).map((text) => text.split(':')[0]).sort(), ['cut.c3d', 'letter.txt'], 'what is no recording is refused as ever');
  const copy = { ...(await kit.sample(HARBOUR)), name: 'copy.rig.json' };
  await drop(page, [HARBOUR, copy, FIRST]);
  await kit.ready(page, 1);
  assert.equal(await page.innerText('#rig'), `Tables are read with ${HARBOUR}`);
});
