// The Wiring's own work: every field of a rig file, plates and markers that come and go, columns carried by hand, its steps; everybody, everywhere.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import * as kit from './kit.mjs';
import { cells, field, fillBay, focused, liveTorque, made, nameless, openWiring, savedRig, table, tried } from './wiring_kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

const suite = kit.suite();

test('plates are added and removed, the focus kept and said: three of them sum to the truth, one tells no feet', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
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
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
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
  const { page, close } = await kit.open(suite.browser, suite.host.url);
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

/** The middle of something on the page. @param {import('playwright-core').Locator} of */
async function middleOf(of) {
  await of.scrollIntoViewIfNeeded();
  const box = await of.boundingBox();
  assert.ok(box);
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

test('columns are wired by pointer: dragged from the list, between slots, or pressed and put', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
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
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url, { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
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
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
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

/** @type {[string, import('playwright-core').BrowserContextOptions][]} */
const SCREENS = [
  ['a wide screen', {}],
  ['a wide screen at night', { colorScheme: 'dark' }],
  ['a phone of 320 pixels', { viewport: { width: 320, height: 640 }, hasTouch: true, isMobile: true }],
];

for (const [screen, options] of SCREENS) {
  test(`on ${screen} the Wiring breaks no rule of accessibility or the width`, async () => {
    const { page, close } = await kit.open(suite.browser, suite.host.url, options);
    await kit.drop(page, [await nameless(1)]);
    await page.getByRole('button', { name: /^Wire it/ }).click();
    await tried(page);
    await kit.reachable(page, 'wiring');
    // With a marker, a plate that is not wired yet, its sentence, and a column in hand.
    await field(page, 'add marker').click();
    await field(page, 'add plate').click();
    await tried(page);
    await page.locator('#wiring .heard [data-column]').nth(3).click();
    await kit.reachable(page, 'more of it');
    const over = await page.evaluate(() => {
      const wiring = /** @type {HTMLElement} */ (document.querySelector('#wiring'));
      return [document.documentElement, wiring].map((e) => e.scrollWidth - e.clientWidth);
    });
    assert.ok(over.every((px) => px <= 0), String(over));
    await close();
  });
}
