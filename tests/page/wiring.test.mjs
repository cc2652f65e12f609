// Wiring: a table without a rig, or with one that does not fit; wired by keyboard alone; known again; undone.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';

import * as kit from './kit.mjs';
import { cells, field, fillBay, isTrue, liveTorque, made, nameless, openWiring, storage, table, tried } from './wiring_kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

const suite = kit.suite();

/** Presses Tab until a slot has the focus. @param {Page} page @param {string | null} plate @param {string} label */
async function tabTo(page, plate, label) {
  for (let i = 0; i < 120; i += 1) {
    await page.keyboard.press('Tab');
    const there = await page.evaluate(([wanted, text]) => {
      const now = document.activeElement;
      const own = now?.closest('label')?.firstChild?.textContent ?? now?.textContent ?? '';
      return own === text && (wanted === null || now?.closest('fieldset')?.getAttribute('data-plate') === wanted);
    }, /** @type {const} */ ([plate, label]));
    if (there) return;
  }
  throw new Error(`Tab never comes to ${label}`);
}

test('columns without names are wired by keyboard alone, and give the numbers of the truth', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await nameless(1), await nameless(2)]);
  await page.waitForFunction(() => document.querySelectorAll('.recording[data-status="waiting"]').length === 2);
  assert.match(await page.locator('.wire-line').first().innerText(), /Asked: .+/);
  await page.locator('.recording').first().getByRole('radio').first().focus();
  await tabTo(page, null, 'Wire it…');
  await page.keyboard.press('Enter');
  await page.waitForSelector('#wiring[open]');
  /** @param {string | null} plate @param {string} label @param {string} keys */
  const type = async (plate, label, keys) => {
    await tabTo(page, plate, label);
    await page.keyboard.type(keys);
  };
  await type(null, 'time', '1:');
  await type(null, 'target lies at, °', '90');
  await type(null, 'unit of force', 'N');
  for (const [plate, foot, y] of /** @type {const} */ ([['0', 'lead', '0.87'], ['1', 'trail', '0.33']])) {
    await type(plate, 'kind', 'six');
    await type(plate, 'foot on it', foot);
    for (const [i, channel] of ['fx', 'fy', 'fz', 'mx', 'my', 'mz'].entries()) await type(plate, channel, `${2 + i + 6 * Number(plate)}:`);
    await type(plate, 'centre x, m', '1.2');
    await type(plate, 'centre y, m', y);
    await type(plate, 'its x points to, °', '90');
    await type(plate, 'moments about z, m', '-0.04');
  }
  await tried(page);
  const numbers = await page.innerText('#wiring-numbers');
  // What the simulator made the swing from.
  const truth = (await kit.truth('harbour-range-before-1')).measures['stance-centre'];
  assert.match(numbers, /body mass\s+7[34]\.\d kg/);
  const low = kit.number(numbers.split('vertical torque in the swing')[1]);
  assert.ok(Math.abs(low - truth.torque_min_nm) < 1.5, `${low} is ${truth.torque_min_nm}`);
  assert.ok((await page.locator('.wiring-plan circle.lead').count()) > 10, 'dots of the lead foot');

  const download = page.waitForEvent('download');
  await tabTo(page, null, 'Save as a rig file');
  await page.keyboard.press('Enter');
  const saved = JSON.parse(await readFile(await (await download).path(), 'utf8'));
  assert.deepEqual(saved.plates[1].columns, { fx: '#8', fy: '#9', fz: '#10', mx: '#11', my: '#12', mz: '#13' });
  await tabTo(page, null, 'Use this wiring');
  await page.keyboard.press('Enter');
  await kit.ready(page, 2);
  await page.locator('.recording .name').first().click();
  await kit.settled(page);
  assert.ok(Math.abs((await kit.measured(page, 'torque_min_nm')) - truth.torque_min_nm) < 1.5, 'the table of measures');
  assert.match(await page.locator('.wire-line').nth(1).innerText(), /same columns/);

  // The same layout, later: known at once.
  await kit.drop(page, [await nameless(3)]);
  await kit.ready(page, 3);
  assert.deepEqual(complaints, []);
  await close();
});

test('a wiring is kept in the browser only when asked', async () => {
  const { page, close } = await kit.open(suite.browser, suite.host.url);
  const wire = async (/** @type {boolean} */ keep) => {
    await kit.drop(page, [await kit.sample('harbour-range-before-1.csv')]);
    await page.getByRole('button', { name: /^Wire it/ }).click();
    await tried(page);
    if (keep) await page.locator('#wiring-keep').check();
    await page.locator('#wiring-use').click();
    await kit.ready(page, 1);
    await page.reload();
    await page.waitForSelector('html[data-ready]');
    await kit.drop(page, [await kit.sample('harbour-range-before-2.csv')]);
  };
  page.on('dialog', (dialog) => void dialog.accept());
  await wire(false);
  await page.waitForSelector('.recording[data-status="waiting"]');
  await page.reload();
  await page.waitForSelector('html[data-ready]');
  await wire(true);
  await kit.ready(page, 1);
  await close();
});

test('a table that the rig does not fit is asked about, and the rig stays for the others', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  await page.selectOption('#handed', 'left');
  const renamed = async (/** @type {number} */ n) => {
    const text = (await kit.sample(`harbour-range-before-${n}.csv`)).bytes.toString();
    return kit.written(`other-${n}.csv`, text.replace('Fx1', 'FX_1').replace('Fy1', 'FY_1'));
  };
  await kit.drop(page, [await kit.sample('harbour-range.rig.json'), await renamed(1), await renamed(3), await kit.sample('harbour-range-before-2.csv')]);
  await kit.ready(page, 1);
  const other = page.locator('.recording', { hasText: 'other-1.csv' });
  assert.equal(await other.getAttribute('data-status'), 'waiting');
  assert.match(await other.locator('.brief').innerText(), /other-1\.csv:1: no column is named "Fx1", which the rig wires as plate 1's fx; expected/);
  assert.match(await other.locator('.wire-line').innerText(), /harbour-range\.rig\.json does not fit this table and stays for the others/);
  assert.match(await page.innerText('#rig'), /Tables are read with harbour-range\.rig\.json/);
  await openWiring(page, 'other-1.csv');
  assert.match(await page.innerText('#wiring .why'), /no column is named "Fx1".* harbour-range\.rig\.json stays for the other files/);
  // Its columns by their own names, its places from the rig that lies in the same bay.
  await page.getByRole('button', { name: 'Take places and target from harbour-range.rig.json' }).click();
  const truth = await made('harbour-range-before-1');
  const low = await liveTorque(page);
  assert.ok(Math.abs(low - truth.torque_min_nm) < 1.5, `${low} is ${truth.torque_min_nm}`);
  await page.click('#wiring-use');
  await kit.ready(page, 3);
  assert.match(await page.locator('.recording', { hasText: 'other-3.csv' }).locator('.wire-line').innerText(), /same columns/, 'what was used beside this rig is used again');

  // A table that the rig does read can be wired otherwise all the same.
  await page.locator('.recording .name', { hasText: 'harbour-range-before-2.csv' }).click();
  await kit.settled(page);
  await openWiring(page, 'harbour-range-before-2.csv');
  assert.equal(await field(page, 'plate 0 centre_m 1').inputValue(), '0.87', 'it begins with the rig');
  assert.deepEqual(complaints, []);
  await close();
});

test('a wiring that leaves nothing open is shown, not used, where a rig was given', async () => {
  const { page, close } = await kit.open(suite.browser, suite.host.url);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await kit.sample('harbour-range.rig.json'), await storage('swing.mot', ['r_', 'l_'])]);
  await page.waitForSelector('.recording[data-status="waiting"]');
  assert.match(await page.locator('.wire-line').innerText(), /does not fit this table.*Its own names and units leave nothing open: look at that wiring and use it/);
  await openWiring(page, 'swing.mot');
  assert.match(await page.innerText('#wiring .why'), /use the wiring as it is shown/);
  const truth = await made('harbour-range-before-1');
  const low = await liveTorque(page);
  assert.ok(Math.abs(low - truth.torque_min_nm) < 1.5, `${low} is ${truth.torque_min_nm}`);
  await page.click('#wiring-use');
  await kit.ready(page, 1);
  await close();
});

test('storage files whose words leave nothing open are measured at once, .mot and .sto; the others ask', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await storage('swing.mot', ['r_', 'l_']), await storage('swing.sto', ['lead_', 'trail_']), await storage('groups.sto', ['', '1_'])]);
  await kit.ready(page, 2);
  const truth = await made('harbour-range-before-1');
  for (const name of ['swing.mot', 'swing.sto']) {
    await page.locator('.recording .name', { hasText: name }).click();
    await kit.settled(page);
    assert.match(await page.locator('.recording', { hasText: name }).locator('.facts').textContent() ?? '', /OpenSim storage, tab/);
    const low = await kit.measured(page, 'torque_min_nm');
    assert.ok(Math.abs(low - truth.torque_min_nm) < 1.5, `${name}: ${low} is ${truth.torque_min_nm}`);
  }
  const groups = page.locator('.recording', { hasText: 'groups.sto' });
  assert.equal(await groups.getAttribute('data-status'), 'waiting');
  assert.match(await groups.locator('.wire-line').innerText(), /Asked: Which plate carries the lead foot\?/);
  assert.deepEqual(complaints, []);
  await close();
});

test('the same layout with its columns in another order is known again', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await kit.sample('harbour-range-before-1.csv')]);
  await openWiring(page, 'harbour-range-before-1.csv');
  await fillBay(page, 2);
  await tried(page);
  await page.click('#wiring-use');
  await kit.ready(page, 1);
  const order = [13, 9, 3, 0, 7, 12, 1, 5, 11, 2, 10, 4, 8, 6];
  await kit.drop(page, [table('shuffled.csv', (await cells('harbour-range-before-2.csv')).map((row) => order.map((k) => row[k])))]);
  await kit.ready(page, 2);
  const shuffled = page.locator('.recording', { hasText: 'shuffled.csv' });
  assert.match(await shuffled.locator('.wire-line').innerText(), /Wired as the last table with the same columns/);
  await shuffled.locator('.name').click();
  await kit.settled(page);
  await isTrue(page, 'harbour-range-before-2');
  assert.deepEqual(complaints, []);
  await close();
});

test('using a wiring is a step of the page: undone it asks again, done again it is wired', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await kit.sample('harbour-range-before-1.csv'), await kit.sample('harbour-range-before-2.csv')]);
  await page.waitForFunction(() => document.querySelectorAll('.recording[data-status="waiting"]').length === 2);
  const asked = await page.locator('.wire-line').allInnerTexts();
  await openWiring(page, 'harbour-range-before-1.csv');
  await fillBay(page, 2);
  await tried(page);
  await page.click('#wiring-use');
  await kit.ready(page, 2);
  const first = await kit.measured(page, 'torque_min_nm');
  assert.equal((await page.innerText('#undo')).trim(), 'Undo wiring harbour-range-before-1.csv');
  await page.click('#undo');
  await kit.settled(page);
  assert.equal(await page.locator('.recording[data-status="waiting"]').count(), 2, 'both wait: the layout is not known any more');
  assert.deepEqual(await page.locator('.wire-line').allInnerTexts(), asked);
  assert.equal(await page.isVisible('#bench'), false, 'nothing is shown of what is not measured');
  await page.click('#redo');
  await kit.ready(page, 2);
  assert.equal(await kit.measured(page, 'torque_min_nm'), first);

  // Wired otherwise, and back.
  await openWiring(page, 'harbour-range-before-1.csv');
  await field(page, 'plate 0 azimuth').fill('-90');
  await tried(page);
  await page.click('#wiring-use');
  await kit.ready(page, 2);
  const second = await kit.measured(page, 'torque_min_nm');
  assert.ok(Math.abs(second - first) > 0.5, `${second} was ${first}`);
  await page.keyboard.press('Control+z');
  await kit.ready(page, 2);
  assert.equal(await kit.measured(page, 'torque_min_nm'), first);
  await page.keyboard.press('Control+Shift+Z');
  await kit.ready(page, 2);
  assert.equal(await kit.measured(page, 'torque_min_nm'), second);
  assert.deepEqual(complaints, []);
  await close();
});

test('undo leaves what the browser was asked to remember, and says so', async () => {
  const { page, close } = await kit.open(suite.browser, suite.host.url);
  await kit.drop(page, [await kit.sample('harbour-range-before-1.csv')]);
  await openWiring(page, 'harbour-range-before-1.csv');
  await page.locator('#wiring-keep').check();
  await page.click('#wiring-use');
  await kit.ready(page, 1);
  await page.click('#undo');
  await kit.settled(page);
  assert.equal(await page.locator('.recording').getAttribute('data-status'), 'waiting', 'it is not wired anew behind the back');
  assert.match(await page.innerText('#refused'), /this browser still remembers it/);
  await openWiring(page, 'harbour-range-before-1.csv');
  await page.locator('#wiring-keep').uncheck();
  assert.match(await page.innerText('#wiring-said'), /has forgotten the wiring/);
  await page.click('#wiring-close');
  await kit.drop(page, [await kit.sample('harbour-range-before-2.csv')]);
  await page.waitForFunction(() => document.querySelectorAll('.recording[data-status="waiting"]').length === 2);
  await close();
});
