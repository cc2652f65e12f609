// Wiring and the player's hand: asked while nobody has said it, answered in two places, corrected later.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import * as kit from './kit.mjs';
import { cells, field, fillBay, focused, isTrue, made, openWiring, storage, table, tried } from './wiring_kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

const suite = kit.suite();

/** A sample with its plates named for the feet of its left-handed player. @param {number} n */
async function sided(n) {
  const [names, ...rows] = await cells(`harbour-range-before-${n}.csv`);
  const feet = names.map((name) => name.replace(/^(\w+)1$/, 'Right $1').replace(/^(\w+)2$/, 'Left $1'));
  return table(`sided-${n}.csv`, [feet, ...rows]);
}

const waits = (/** @type {Page} */ page) => page.waitForSelector('.recording[data-status="waiting"]');

test('columns named left and right ask for the hand while nobody has said it, and follow it when it is corrected', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  await kit.drop(page, [await storage('swing.mot', ['r_', 'l_'])]);
  await waits(page);
  assert.match(await page.locator('.wire-line').innerText(), /Asked: Does the player swing right-handed or left-handed\?/);
  await page.selectOption('#handed', 'left');
  await kit.ready(page, 1);
  await isTrue(page, 'harbour-range-before-1');
  assert.match(await page.locator('.wire-line').innerText(), /Wired by its own names and units/);
  await openWiring(page, 'swing.mot');
  assert.deepEqual([await field(page, 'plate 0 foot').inputValue(), await field(page, 'target').inputValue()], ['lead', '90']);
  await page.click('#wiring-close');
  // Another hand: other feet, and the target on their other side.
  await page.selectOption('#handed', 'right');
  await page.waitForFunction(() => document.querySelector('.recording')?.getAttribute('data-status') === 'ready');
  await kit.settled(page);
  await openWiring(page, 'swing.mot');
  assert.deepEqual([await field(page, 'plate 0 foot').inputValue(), await field(page, 'target').inputValue()], ['trail', '-90']);
  await page.click('#wiring-close');
  await page.selectOption('#handed', 'left');
  await kit.ready(page, 1);
  await isTrue(page, 'harbour-range-before-1');
  assert.deepEqual(complaints, []);
  await close();
});

test('the hand may be said, and said again, while a file is being read', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  await kit.drop(page, [await storage('swing.mot', ['r_', 'l_'])]);
  // Nothing is waited for in between.
  const choose = (/** @type {string[]} */ hands, /** @type {number} */ ms) => page.evaluate(async ([all, rest]) => {
    const list = /** @type {HTMLSelectElement} */ (document.getElementById('handed'));
    for (const hand of all) {
      list.value = hand;
      list.dispatchEvent(new Event('change'));
      await new Promise((done) => { setTimeout(done, rest); });
    }
  }, /** @type {const} */ ([hands, ms]));
  await choose(['left'], 0);
  await kit.ready(page, 1);
  await isTrue(page, 'harbour-range-before-1');
  for (const ms of [0, 5, 20, 60]) {
    await choose(['right', 'left', 'right', 'left'], ms);
    await kit.ready(page, 1);
    await isTrue(page, 'harbour-range-before-1');
    await openWiring(page, 'swing.mot');
    assert.equal(await field(page, 'plate 0 foot').inputValue(), 'lead', `after ${ms} ms each`);
    await page.click('#wiring-close');
  }
  assert.deepEqual(complaints, []);
  await close();
});

test('the hand is said in the Wiring, and where it was all that was open the file is measured', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  await kit.drop(page, [await storage('swing.mot', ['r_', 'l_'])]);
  await waits(page);
  await openWiring(page, 'swing.mot');
  await page.click('#wiring-left');
  await page.waitForSelector('#wiring:not([open])', { state: 'attached' });
  await kit.ready(page, 1);
  assert.equal(await page.inputValue('#handed'), 'left');
  await isTrue(page, 'harbour-range-before-1');
  assert.deepEqual(complaints, []);
  await close();
});

test('right-handed is what the page begins with and nobody’s word: said, it is not asked again', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  await kit.drop(page, [await storage('swing.mot', ['l_', 'r_'])]);
  await waits(page);
  await openWiring(page, 'swing.mot');
  await page.locator('#wiring-right').focus();
  await page.keyboard.press('Enter');
  await kit.ready(page, 1);
  await kit.drop(page, [await storage('again.mot', ['l_', 'r_'])]);
  await kit.ready(page, 2);
  assert.deepEqual(complaints, []);
  await close();
});

test('a wiring made by hand for one hand asks when the hand is corrected, and is known again for its own', async () => {
  const { page, complaints, close } = await kit.open(suite.browser, suite.host.url);
  await kit.drop(page, [await sided(1)]);
  await waits(page);
  await openWiring(page, 'sided-1.csv');
  assert.equal(await field(page, 'plate 0 foot').inputValue(), 'trail', 'right-handed is taken meanwhile');
  await page.click('#wiring-left');
  assert.equal(await focused(page), 'plate 0 foot');
  assert.deepEqual([await field(page, 'plate 0 foot').inputValue(), await field(page, 'plate 1 foot').inputValue()], ['lead', 'trail']);
  assert.match(await page.innerText('#wiring [data-asked="handed"]'), /The player swings left-handed/);
  await fillBay(page, 2);
  await tried(page);
  await page.click('#wiring-use');
  await kit.ready(page, 1);
  await isTrue(page, 'harbour-range-before-1');

  await page.selectOption('#handed', 'right');
  await waits(page);
  assert.match(await page.locator('.wire-line').innerText(), /was wired for a left-handed player: look at that wiring and use it/);
  await kit.drop(page, [await sided(2)]);
  await page.waitForFunction(() => document.querySelectorAll('.recording[data-status="waiting"]').length === 2);
  await page.selectOption('#handed', 'left');
  await kit.ready(page, 2);
  await page.locator('.recording .name', { hasText: 'sided-1.csv' }).click();
  await isTrue(page, 'harbour-range-before-1');
  assert.deepEqual(complaints, []);
  await close();
});
