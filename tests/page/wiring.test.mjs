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

test('workbooks and archives are refused in a sentence that says what to do', async () => {
  const { page, complaints, close } = await kit.open(browser, host.url);
  const packed = (/** @type {string} */ name) => kit.written(name, 'PK\u0003\u0004 and more');
  await kit.drop(page, [packed('monday.xlsx'), packed('monday.zip'), await kit.sample('harbour-range-before-1.c3d')]);
  await kit.ready(page, 1);
  const refused = await page.locator('#refused li').allInnerTexts();
  assert.match(refused[0], /monday\.xlsx: .* try saving its sheet as CSV/);
  assert.match(refused[1], /monday\.zip: .* try unpacking it first/);
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
    const { page, close } = await kit.open(browser, host.url, options);
    await kit.drop(page, [await nameless(1)]);
    await page.getByRole('button', { name: /^Wire it/ }).click();
    await tried(page);
    await page.evaluate(axe.source);
    const found = await page.evaluate(async () => {
      const { violations } = await /** @type {any} */ (window).axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] });
      return violations.map((/** @type {any} */ v) => `${v.id}: ${v.nodes.map((/** @type {any} */ n) => n.html.slice(0, 120)).slice(0, 3).join(' | ')}`);
    });
    assert.deepEqual(found, []);
    const over = await page.evaluate(() => {
      const wiring = /** @type {HTMLElement} */ (document.querySelector('#wiring'));
      return [document.documentElement, wiring].map((e) => e.scrollWidth - e.clientWidth);
    });
    assert.ok(over.every((px) => px <= 0), String(over));
    await close();
  });
}
