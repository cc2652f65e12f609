// What a wiring leaves behind: its bay for the next table, its layout in the session's file, the question on leaving; and why it is proposed so.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';

import * as kit from './kit.mjs';
import { cells, field, fillBay, isTrue, liveTorque, made, openWiring, table, tried } from './wiring_kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

const suite = kit.suite();

/** Wires the first sample in the invented bay. @param {Page} page */
async function wireFirst(page) {
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await kit.sample('harbour-range-before-1.csv')]);
  await openWiring(page, 'harbour-range-before-1.csv');
  await fillBay(page, 2);
  await tried(page);
  await page.click('#wiring-use');
  await kit.ready(page, 1);
}

test('the bay of the wiring used last is taken in one press, plate by plate whatever their order', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  await wireFirst(page);
  // Another layout of the same bay: the second plate first, and no trigger.
  const rows = await cells('harbour-range-before-2.csv');
  await kit.drop(page, [table('turned.csv', rows.map((row) => [row[0], ...row.slice(7, 13), ...row.slice(1, 7)]))]);
  await page.waitForSelector('.recording[data-status="waiting"]');
  await openWiring(page, 'turned.csv');
  assert.equal(await field(page, 'plate 0 fz').inputValue(), 'Fz2');
  await page.getByRole('button', { name: 'Take places and target from harbour-range-before-1.rig.json' }).click();
  assert.equal(await page.innerText('#wiring-said'), 'Places and target are those of harbour-range-before-1.rig.json');
  assert.deepEqual([await field(page, 'plate 0 centre_m 1').inputValue(), await field(page, 'plate 0 foot').inputValue()], ['0.33', 'trail']);
  const truth = await made('harbour-range-before-2');
  const low = await liveTorque(page);
  assert.ok(Math.abs(low - truth.torque_min_nm) < 1.5, `${low} is ${truth.torque_min_nm}`);
  assert.equal(await page.innerText('#wiring-undo'), 'Undo taking the bay');
  await page.click('#wiring-close');
  // Its own wiring is no other one.
  await openWiring(page, 'harbour-range-before-1.csv');
  assert.equal(await page.locator('#wiring-bay-last').count(), 0);
  assert.deepEqual(complaints, []);
  await close();
});

/** Whether leaving the page asks. @param {Page} page */
const asks = (page) => page.evaluate(() => !window.dispatchEvent(new Event('beforeunload', { cancelable: true })));

test('leaving asks while a wiring is begun and not used', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  await kit.drop(page, [await kit.sample('harbour-range-before-1.csv')]);
  await openWiring(page, 'harbour-range-before-1.csv');
  assert.equal(await asks(page), false, 'nothing was done yet');
  await field(page, 'target').fill('90');
  await tried(page);
  await page.keyboard.press('Escape');
  assert.equal(await asks(page), true);
  await openWiring(page, 'harbour-range-before-1.csv');
  await page.click('#wiring-undo');
  assert.equal(await asks(page), false, 'undone it is not begun');
  assert.deepEqual(complaints, []);
  await close();
});

test('a wiring that was begun goes on after a reload, and nothing of the recording is kept', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  page.on('dialog', (dialog) => void dialog.accept());
  const opened = async () => {
    await kit.drop(page, [await kit.sample('harbour-range-before-1.csv')]);
    await openWiring(page, 'harbour-range-before-1.csv');
  };
  const again = async () => {
    await page.reload();
    await page.waitForSelector('html[data-ready]');
  };
  await opened();
  const first = await field(page, 'target').inputValue();
  await field(page, 'target').fill('90');
  await field(page, 'plate 1 centre_m 0').fill('1.25');
  await tried(page);
  const kept = await page.evaluate(() => JSON.stringify([{ ...sessionStorage }, { ...localStorage }]));
  assert.match(kept, /1\.25/);
  // Column names and places, and no sample.
  assert.ok(kept.length < 4000, kept);
  assert.equal(await page.evaluate(async () => (await indexedDB.databases()).length), 0);
  await again();
  await opened();
  assert.match(await page.innerText('#wiring'), /It goes on where it was left/);
  assert.deepEqual([await field(page, 'target').inputValue(), await field(page, 'plate 1 centre_m 0').inputValue()], ['90', '1.25']);
  assert.equal(await asks(page), true);
  // Another hand has other feet: it waits for its own.
  await again();
  await page.selectOption('#handed', 'left');
  await opened();
  assert.equal(await field(page, 'target').inputValue(), first);
  await again();
  await opened();
  assert.equal(await page.innerText('#wiring-undo'), 'Undo what was begun before the page was loaded again');
  await page.click('#wiring-undo');
  assert.deepEqual([await field(page, 'target').inputValue(), await asks(page)], [first, false]);
  await again();
  await opened();
  assert.doesNotMatch(await page.innerText('#wiring'), /It goes on where it was left/);
  // Used, it is begun no more.
  await fillBay(page, 2);
  await tried(page);
  await page.click('#wiring-use');
  await page.waitForSelector('.recording[data-status="ready"]');
  assert.doesNotMatch(await page.evaluate(() => JSON.stringify({ ...sessionStorage })), /1\.2/);
  assert.deepEqual(complaints, []);
  await close();
});

test('a layout that was wired travels with the session’s file', async () => {
  const first = await kit.open(suite.browser, suite.host.url);
  await wireFirst(first.page);
  const download = first.page.waitForEvent('download');
  await first.page.click('#session-save');
  const bytes = await readFile(await (await download).path(), 'utf8');
  await first.close();
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  await kit.drop(page, [kit.written('kept.footing.json', bytes)]);
  await kit.ready(page, 1);
  await kit.drop(page, [await kit.sample('harbour-range-before-2.csv')]);
  await kit.ready(page, 2);
  const second = page.locator('.recording', { hasText: 'harbour-range-before-2.csv' });
  assert.match(await second.locator('.wire-line').innerText(), /Wired as the last table with the same columns/);
  await second.locator('.name').click();
  await kit.settled(page);
  await isTrue(page, 'harbour-range-before-2');
  assert.deepEqual(complaints, []);
  await close();
});

test('the Wiring says how sure each choice is, and why', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  const [names, ...rows] = await cells('harbour-range-before-1.csv');
  const unread = names.map((name) => (/^M/.test(name) ? `${name} (dag cm)` : name));
  await kit.drop(page, [table('unread.csv', [unread, ...rows])]);
  await page.waitForSelector('.recording[data-status="waiting"]');
  assert.match(await page.locator('.wire-line').innerText(), /The table gives its moments in dag cm, which is not read: which unit is right\?/);
  await openWiring(page, 'unread.csv');
  const spans = await page.locator('#wiring .span').allInnerTexts();
  assert.match(spans.join(), /\u2212\d/);
  assert.doesNotMatch(spans.join(), /-/, 'people read a true minus');
  await page.getByText('Why it is proposed so').click();
  const why = Object.fromEntries(await page.locator('#wiring details dl > div').evaluateAll((rows) => rows.map((row) => [...row.children].map((part) => part.textContent ?? ''))));
  assert.match(why['Columns of a plate: sure'], /fz Fz[12], .*the names make up a plate, six-component/);
  assert.match(why['Unit of force: sure'], /^N\. the player's weight standing still reads 7\d\d.*only in N is that a player/);
  assert.match(why['Unit of moment: a placeholder'], /moments over forces in newtons reach 0\.\d+; the table says dag cm, which is not read/);
  assert.match(why['Time: sure'], /rises evenly by .*named for time/);
  assert.match(why['Where the plates are: a placeholder'], /a table of plate channels does not say/);
  assert.match(why['Lead and trail foot: a placeholder'], /a placeholder/);
  assert.deepEqual(complaints, []);
  await close();
});
