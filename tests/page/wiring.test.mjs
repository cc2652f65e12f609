// Wiring: a table without a rig, wired by keyboard alone; the layout known again; everybody, everywhere.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { after, before, test } from 'node:test';

import axe from 'axe-core';

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

/** A sample table without its line of names. @param {number} n */
async function nameless(n) {
  const text = (await kit.sample(`harbour-range-before-${n}.csv`)).bytes.toString();
  return kit.written(`bare-${n}.csv`, text.slice(text.indexOf('\n') + 1));
}

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

/** Waits until the newest change was tried. @param {Page} page */
const tried = (page) => page.waitForSelector('#wiring:not([aria-busy])');

test('columns without names are wired by keyboard alone, and give the numbers of the truth', async () => {
  const { page, complaints, close } = await kit.open(browser, host.url);
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
  const { page, close } = await kit.open(browser, host.url);
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

/** The rows of a sample table, names first. @param {string} name */
async function cells(name) {
  const text = (await kit.sample(name)).bytes.toString().trim();
  return text.split(/\r?\n/).map((line) => line.split(','));
}

/** @param {string} name @param {(string | number)[][]} rows */
const table = (name, rows) => kit.written(name, `${rows.map((row) => row.join(',')).join('\n')}\n`);

/** What the simulator made a swing of the invented player from. @param {string} name */
const made = async (name) => (await kit.truth(name)).measures['stance-centre'];

/** Opens the Wiring of a recording. @param {Page} page @param {string} name */
async function openWiring(page, name) {
  await page.locator('.recording', { hasText: name }).getByRole('button', { name: /^Wir(e it|ing)…/ }).click();
  await page.waitForSelector('#wiring[open]');
  await tried(page);
}

/** A field of the Wiring. @param {Page} page @param {string} field */
const field = (page, field) => page.locator(`#wiring [data-field="${field}"]`);

/** The torque in the live view: its least, N·m. @param {Page} page */
async function liveTorque(page) {
  await tried(page);
  return kit.number((await page.innerText('#wiring-numbers')).split('vertical torque in the swing')[1]);
}

/** @param {Page} page */
const focused = (page) => page.evaluate(() => document.activeElement?.getAttribute('data-field') ?? document.activeElement?.id ?? '');

/** What the Wiring would save. @param {Page} page */
async function savedRig(page) {
  await tried(page);
  const download = page.waitForEvent('download');
  await page.click('#wiring-save');
  return JSON.parse(await readFile(await (await download).path(), 'utf8'));
}

/** The places of the invented bay, as samples/harbour-range.rig.json has them. @param {Page} page @param {number} plates */
async function fillBay(page, plates) {
  await field(page, 'target').fill('90');
  for (let i = 0; i < plates; i += 1) {
    await field(page, `plate ${i} centre_m 0`).fill('1.2');
    await field(page, `plate ${i} centre_m 1`).fill(i === 0 ? '0.87' : '0.33');
    await field(page, `plate ${i} azimuth`).fill('90');
    await field(page, `plate ${i} moment_point_m 2`).fill('-0.04');
  }
}

test('plates are added and removed, the focus kept and said: three of them sum to the truth, one tells no feet', async () => {
  const { page, complaints, close } = await kit.open(browser, host.url);
  await page.selectOption('#handed', 'left');
  // The second plate's load shared by two plates: a wrench is the sum of its parts.
  const rows = await cells('harbour-range-before-1.csv');
  const shared = rows.map((row, i) => (i === 0 ? [...row, 'Gx', 'Gy', 'Gz', 'Hx', 'Hy', 'Hz'] : [...row.slice(0, 7), ...row.slice(7, 13).map((v) => 0.75 * Number(v)), row[13], ...row.slice(7, 13).map((v) => 0.25 * Number(v))]));
  await kit.drop(page, [table('three.csv', shared)]);
  await openWiring(page, 'three.csv');
  if ((await page.locator('#wiring [data-plate]').count()) === 3) throw new Error('the third plate is to be added by hand');
  await fillBay(page, 2);
  const without = await liveTorque(page);
  await field(page, 'add plate').focus();
  await page.keyboard.press('Enter');
  assert.equal(await focused(page), 'plate 2 kind');
  assert.equal(await page.innerText('#wiring-said'), 'Plate 3 is added; wire its channels');
  await tried(page);
  assert.match(await page.innerText('#wiring-problem'), /^Plate 3 lacks fx, fy, fz, mx, my, mz: wire/);
  assert.deepEqual([await page.isDisabled('#wiring-use'), await page.isDisabled('#wiring-save')], [true, true]);
  for (const [i, channel] of ['fx', 'fy', 'fz', 'mx', 'my', 'mz'].entries()) await field(page, `plate 2 ${channel}`).selectOption({ label: `${15 + i}: ${['Gx', 'Gy', 'Gz', 'Hx', 'Hy', 'Hz'][i]}` });
  await field(page, 'plate 2 centre_m 1').fill('0.33');
  await field(page, 'plate 2 foot').selectOption('trail');
  const truth = await made('harbour-range-before-1');
  const low = await liveTorque(page);
  assert.ok(Math.abs(low - truth.torque_min_nm) < 1.5 && Math.abs(without - truth.torque_min_nm) > 2, `${low}, and ${without} without the third, are ${truth.torque_min_nm}`);
  assert.equal((await savedRig(page)).plates.length, 3);

  for (const [left, to] of /** @type {const} */ ([[2, 'plate 1 out'], [1, 'plate 0 kind']])) {
    await field(page, `plate ${left} out`).focus();
    await page.keyboard.press('Enter');
    assert.equal(await page.innerText('#wiring-said'), `Plate ${left + 1} is removed; ${left} left`);
    assert.equal(await focused(page), to, 'the focus goes to the next plate');
  }
  assert.equal(await page.locator('#wiring .out').count(), 0, 'a rig has one plate at least');
  await field(page, 'plate 0 foot').selectOption('both');
  await tried(page);
  assert.match(await page.innerText('#wiring .comes-to'), /The feet are not told apart/);
  assert.deepEqual(complaints, []);
  await close();
});

test('every field of a rig file is in the Wiring, and markers come, change and go', async () => {
  const { page, complaints, close } = await kit.open(browser, host.url);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await kit.sample('harbour-range-before-1.csv')]);
  await openWiring(page, 'harbour-range-before-1.csv');
  await field(page, 'name').fill('Bay 1');
  await fillBay(page, 2);
  for (const i of [0, 1]) {
    await field(page, `plate ${i} size 0`).fill('0.5');
    await field(page, `plate ${i} size 1`).fill('0.6');
  }
  await field(page, 'add marker').focus();
  await page.keyboard.press('Enter');
  assert.equal(await focused(page), 'marker 0');
  assert.match(await page.innerText('#wiring-said'), /^Marker 1 is added/);
  assert.equal(await field(page, 'marker 0').inputValue(), 'Trigger', 'the column that nothing else uses');
  assert.equal(await field(page, 'marker 0 level').inputValue(), '2.5', 'half way between what it holds');
  await tried(page);
  assert.equal(await page.locator('#wiring .wiring-plan .plate').count(), 2);
  // The sample's own rig file.
  const own = JSON.parse((await kit.sample('harbour-range.rig.json')).bytes.toString());
  assert.deepEqual(await savedRig(page), { ...own, name: 'Bay 1' });

  for (const [key, value] of Object.entries({ 'centre_m 2': '0.01', 'moment_point_m 0': '0.002', 'moment_point_m 1': '0.003', azimuth: '91' })) await field(page, `plate 1 ${key}`).fill(value);
  await field(page, 'plate 1 z').selectOption('down');
  await field(page, 'plate 1 foot').selectOption('');
  await field(page, 'marker 0 event').selectOption('top');
  await field(page, 'marker 0 edge').selectOption('falling');
  await field(page, 'marker 0 level').fill('1.5');
  await field(page, 'sense').selectOption('on-player');
  for (const [unit, value] of [['force', 'kgf'], ['moment', 'N.mm'], ['length', 'mm'], ['time', 'ms']]) await field(page, `unit ${unit}`).selectOption(value);
  await field(page, 'time').selectOption('');
  await field(page, 'rate').fill('500');
  await field(page, 'plate 0 size 0').fill('');
  const rig = await savedRig(page);
  const { foot: _, ...second } = own.plates[1];
  const { size_m: __, ...first } = own.plates[0];
  assert.deepEqual(rig, {
    ...own, name: 'Bay 1', force_sense: 'on-player', time: { rate_hz: 500 }, units: { force: 'kgf', moment: 'N.mm', length: 'mm', time: 'ms' },
    markers: [{ column: 'Trigger', event: 'top', edge: 'falling', level: 1.5 }],
    plates: [first, { ...second, z_axis: 'down', x_azimuth_deg: 91, centre_m: [1.2, 0.33, 0.01], moment_point_m: [0.002, 0.003, -0.04] }],
  });
  await field(page, 'plate 1 kind').selectOption('eight-channel');
  for (const key of ['sensor_offset_m 0', 'sensor_offset_m 1', 'moment_point_m 2']) assert.equal(await field(page, `plate 1 ${key}`).count(), 1, key);

  await field(page, 'marker 0 out').focus();
  await page.keyboard.press('Enter');
  assert.equal(await focused(page), 'add marker');
  assert.equal(await page.innerText('#wiring-said'), 'Marker 1 is removed; 0 left');
  assert.equal(await page.locator('#wiring [data-field^="marker"]').count(), 0);
  assert.deepEqual(complaints, []);
  await close();
});

test('a marker that was wired is the impact of the recording', async () => {
  const { page, close } = await kit.open(browser, host.url);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await kit.sample('harbour-range-before-1.csv')]);
  await openWiring(page, 'harbour-range-before-1.csv');
  await fillBay(page, 2);
  await field(page, 'add marker').click();
  await tried(page);
  await page.click('#wiring-use');
  await kit.ready(page, 1);
  assert.match(await page.locator('#events').innerText(), /impact, from the file/);
  const at = kit.number(await page.getByRole('slider', { name: 'impact', exact: true }).getAttribute('aria-valuetext'));
  const truth = (await kit.truth('harbour-range-before-1')).events.impact_s;
  assert.ok(Math.abs(at - truth) < 0.002, `${at} is ${truth}`);
  await close();
});

test('a table that the rig does not fit is asked about, and the rig stays for the others', async () => {
  const { page, complaints, close } = await kit.open(browser, host.url);
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
  const { page, close } = await kit.open(browser, host.url);
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

/**
 * A sample as an OpenSim storage file: x forward, y up, z right, forces, points and free moments by their definitions,
 * the plates where samples/harbour-range.rig.json has them: x a quarter turn from the lab's, moments about 40 mm down.
 * @param {string} name @param {[string, string]} prefixes
 */
async function storage(name, prefixes) {
  const [, ...rows] = await cells('harbour-range-before-1.csv');
  const lines = rows.map((row) => {
    const v = row.map(Number);
    const out = [v[0]];
    for (const [i, y0] of [0.87, 0.33].entries()) {
      const [fx, fy, fz, mx, my, mz] = v.slice(1 + 6 * i, 7 + 6 * i);
      const [top_x, top_y] = [mx + 0.04 * fy, my - 0.04 * fx];
      const [cx, cy] = [-top_y / fz, top_x / fz];
      const tz = mz - (cx * fy - cy * fx);
      const [lab_x, lab_y] = [1.2 - cy, y0 + cx];
      // The lab's x, y, z are the file's x, −z, y.
      out.push(-fy, fz, -fx, lab_x, 0, -lab_y, 0, tz, 0);
    }
    return out.map((n) => n.toFixed(5)).join('\t');
  });
  const labels = prefixes.flatMap((p) => [...'xyz'].map((a) => `${p}ground_force_v${a}`).concat([...'xyz'].map((a) => `${p}ground_force_p${a}`), [...'xyz'].map((a) => `${p}ground_torque_${a}`)));
  const head = ['swing', 'version=1', `nRows=${lines.length}`, 'nColumns=19', 'inDegrees=no', 'endheader', ['time', ...labels].join('\t')];
  return kit.written(name, `${[...head, ...lines].join('\n')}\n`);
}

test('storage files whose words leave nothing open are measured at once, .mot and .sto', async () => {
  const { page, complaints, close } = await kit.open(browser, host.url);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await storage('swing.mot', ['r_', 'l_']), await storage('swing.sto', ['', '1_'])]);
  await kit.ready(page, 2);
  await page.fill('#target', '90');
  await page.press('#target', 'Enter');
  await kit.settled(page);
  const truth = await made('harbour-range-before-1');
  for (const name of ['swing.mot', 'swing.sto']) {
    await page.locator('.recording .name', { hasText: name }).click();
    await kit.settled(page);
    assert.match(await page.locator('.recording', { hasText: name }).locator('.facts').textContent() ?? '', /OpenSim storage, y up/);
    const low = await kit.measured(page, 'torque_min_nm');
    assert.ok(Math.abs(low - truth.torque_min_nm) < 1.5, `${name}: ${low} is ${truth.torque_min_nm}`);
  }
  assert.deepEqual(complaints, []);
  await close();
});

test('the same layout with its columns in another order is known again', async () => {
  const { page, complaints, close } = await kit.open(browser, host.url);
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
  const truth = await made('harbour-range-before-2');
  const low = await kit.measured(page, 'torque_min_nm');
  assert.ok(Math.abs(low - truth.torque_min_nm) < 1.5, `${low} is ${truth.torque_min_nm}`);
  assert.deepEqual(complaints, []);
  await close();
});

/** The middle of something on the page. @param {import('playwright-core').Locator} of */
async function middleOf(of) {
  await of.scrollIntoViewIfNeeded();
  const box = await of.boundingBox();
  assert.ok(box);
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

test('columns are wired by pointer: dragged from the list, between slots, or pressed and put', async () => {
  const { page, complaints, close } = await kit.open(browser, host.url);
  await kit.drop(page, [await nameless(1)]);
  await openWiring(page, 'bare-1.csv');
  const row = (/** @type {number} */ n) => page.locator('#wiring [data-column]').filter({ hasText: new RegExp(`^${n}: `) });
  const slot = (/** @type {string} */ name) => page.locator(`#wiring [data-slot="${name}"]`);
  const held = async (/** @type {string} */ name) => slot(name).locator('select').inputValue();
  /** @param {import('playwright-core').Locator} from @param {import('playwright-core').Locator} to */
  const drag = async (from, to) => {
    await to.scrollIntoViewIfNeeded();
    const [a, b] = [await middleOf(from), await middleOf(to)];
    await page.mouse.move(a.x, a.y);
    await page.mouse.down();
    await page.mouse.move(a.x + 20, a.y + 4);
    await page.mouse.move(b.x, b.y, { steps: 4 });
    assert.equal(await to.evaluate((e) => e.classList.contains('under')), true, 'the slot under the hand shows it');
    await page.mouse.up();
  };
  // Cleared first, so that the hand does it all.
  for (const channel of ['fx', 'fy', 'fz', 'mx', 'my', 'mz']) for (const i of [0, 1]) await field(page, `plate ${i} ${channel}`).selectOption('');
  await drag(row(4), slot('plate 0 fz'));
  assert.equal(await held('plate 0 fz'), '#4');
  assert.equal(await page.innerText('#wiring-said'), '4: no name goes to plate 1 fz');
  assert.equal(await slot('plate 0 fz').locator('.slot-trace path').getAttribute('d'), await row(4).locator('path').getAttribute('d'), 'its picture is in the slot');
  assert.match(await row(4).innerText(), /→ plate 1 fz/);
  await drag(row(2), slot('plate 0 fx'));
  await drag(slot('plate 0 fx').locator('.slot-trace'), slot('plate 0 fz'));
  assert.deepEqual([await held('plate 0 fx'), await held('plate 0 fz')], ['#4', '#2'], 'two slots change places');
  await drag(row(4), slot('plate 1 my'));
  assert.deepEqual([await held('plate 0 fx'), await held('plate 1 my')], ['', '#4'], 'from the list it leaves where it was');

  // Pressed, then put; Escape puts it back and closes nothing.
  await row(9).click();
  assert.match(await page.innerText('.in-hand'), /9: no name is in hand/);
  await page.keyboard.press('Escape');
  assert.deepEqual([await page.isVisible('.in-hand'), await page.isVisible('#wiring')], [false, true]);
  await row(9).click();
  await slot('plate 1 fy').locator('select').click();
  assert.deepEqual([await held('plate 1 fy'), await page.isVisible('.in-hand')], ['#9', false]);
  // Dropped beside every slot, nothing changes.
  const before = await page.innerText('#wiring-undo');
  const a = await middleOf(row(9));
  await page.mouse.move(a.x, a.y);
  await page.mouse.down();
  await page.mouse.move(a.x + 20, a.y);
  const title = await middleOf(page.locator('#wiring-from'));
  await page.mouse.move(title.x, title.y);
  await page.mouse.up();
  assert.equal(await page.innerText('#wiring-undo'), before);
  assert.deepEqual(complaints, []);
  await close();
});

test('by touch a column is pressed and then its channel', async () => {
  const { page, complaints, close } = await kit.open(browser, host.url, { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
  await kit.drop(page, [await nameless(1)]);
  await openWiring(page, 'bare-1.csv');
  await page.locator('#wiring [data-column]').filter({ hasText: /^13: / }).tap();
  await page.locator('#wiring [data-slot="plate 1 fx"] .slot-trace').tap();
  assert.equal(await field(page, 'plate 1 fx').inputValue(), '#13');
  assert.equal(await page.isVisible('.in-hand'), false);
  assert.deepEqual(complaints, []);
  await close();
});

test('inside the Wiring steps go back and on, by keys and buttons, and what was begun goes on', async () => {
  const { page, complaints, close } = await kit.open(browser, host.url);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await kit.sample('harbour-range-before-1.csv')]);
  await openWiring(page, 'harbour-range-before-1.csv');
  const start = await liveTorque(page);
  assert.deepEqual([await page.isDisabled('#wiring-undo'), await page.isDisabled('#wiring-redo')], [true, true]);
  await field(page, 'plate 0 azimuth').fill('');
  await field(page, 'plate 0 azimuth').pressSequentially('20.5');
  await field(page, 'plate 1 kind').selectOption('vertical-cop');
  await field(page, 'add plate').click();
  assert.equal(await page.innerText('#wiring-undo'), 'Undo adding plate 3');
  await page.keyboard.press('Control+z');
  assert.equal(await page.innerText('#wiring-said'), 'Undone: adding plate 3');
  assert.equal(await page.locator('#wiring [data-plate]').count(), 2);
  await field(page, 'plate 1 kind').focus();
  await page.keyboard.press('Control+z');
  assert.equal(await focused(page), 'plate 1 kind', 'the focus stays');
  assert.equal(await field(page, 'plate 1 kind').inputValue(), 'six-component');
  assert.equal(await field(page, 'plate 1 mx').inputValue(), 'Mx2', 'with the columns that it had');
  const moved = await liveTorque(page);
  assert.ok(Math.abs(moved - start) > 0.2, `the letters of one number are one step, and not this one: ${moved} was ${start}`);
  await page.click('#wiring-undo');
  assert.equal(await liveTorque(page), start);
  assert.equal(await page.isDisabled('#wiring-undo'), true);
  assert.equal(await focused(page), 'wiring-redo', 'a button that has nothing to do hands the focus on');
  await page.keyboard.press('Control+Shift+Z');
  assert.equal(await liveTorque(page), moved);
  await page.click('#wiring-redo');
  assert.equal(await field(page, 'plate 1 kind').inputValue(), 'vertical-cop');
  await page.click('#wiring-undo');

  // The page's own steps wait meanwhile, and what is left is found again.
  await page.keyboard.press('Escape');
  assert.equal(await page.isVisible('#wiring'), false);
  assert.equal(await page.locator('.recording').count(), 1);
  await openWiring(page, 'harbour-range-before-1.csv');
  assert.equal(await liveTorque(page), moved);
  assert.match(await page.innerText('#wiring'), /It goes on where it was left/);
  assert.deepEqual(complaints, []);
  await close();
});

test('using a wiring is a step of the page: undone it asks again, done again it is wired', async () => {
  const { page, complaints, close } = await kit.open(browser, host.url);
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
  const { page, close } = await kit.open(browser, host.url);
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

/** @type {[string, import('playwright-core').BrowserContextOptions][]} */
const SCREENS = [
  ['a wide screen', {}],
  ['a wide screen at night', { colorScheme: 'dark' }],
  ['a phone of 320 pixels', { viewport: { width: 320, height: 640 }, hasTouch: true, isMobile: true }],
];

for (const [screen, options] of SCREENS) {
  test(`on ${screen} the Wiring breaks no rule of accessibility or the width`, async () => {
    const { page, close } = await kit.open(browser, host.url, options);
    await kit.drop(page, [await nameless(1)]);
    await page.getByRole('button', { name: /^Wire it/ }).click();
    await tried(page);
    await page.evaluate(axe.source);
    const look = async () => {
      const found = await page.evaluate(async () => {
        const { violations } = await /** @type {any} */ (window).axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] });
        return violations.map((/** @type {any} */ v) => `${v.id}: ${v.nodes.map((/** @type {any} */ n) => n.html.slice(0, 120)).slice(0, 3).join(' | ')}`);
      });
      assert.deepEqual(found, []);
    };
    await look();
    // With a marker, a plate that is not wired yet, its sentence, and a column in hand.
    await field(page, 'add marker').click();
    await field(page, 'add plate').click();
    await tried(page);
    await page.locator('#wiring .heard [data-column]').nth(3).click();
    await look();
    const over = await page.evaluate(() => {
      const wiring = /** @type {HTMLElement} */ (document.querySelector('#wiring'));
      return [document.documentElement, wiring].map((e) => e.scrollWidth - e.clientWidth);
    });
    assert.ok(over.every((px) => px <= 0), String(over));
    await close();
  });
}
