// What a screen reader is told: the numbers that stand on the page.

import assert from 'node:assert/strict';

import * as kit from './kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

const { onPage } = kit.suite();

/** The spoken line, once it rests. @param {Page} page */
async function spoken(page) {
  await kit.settled(page);
  await page.waitForTimeout(500);
  return (await page.locator('#readout').textContent()) ?? '';
}


onPage('what is under a cursor that rests is told anew when a setting changes it', async (page) => {
  await kit.drop(page, [await kit.sample('driver-right-1.c3d')]);
  await kit.ready(page, 1);
  await page.focus('#cursor');
  await page.keyboard.press('ArrowRight');
  const seen = async () => (await page.locator('#charts .value').allTextContents()).map((text) => text.replace(/^.*? (?=[−\d])/, ''));
  const told = new Set([await spoken(page)]);
  for (const [what, value] of [['#reference', 'com'], ['#low-pass', 'off'], ['#handed', 'left']]) {
    await page.selectOption(what, value);
    const said = await spoken(page);
    for (const number of await seen()) assert.ok(said.includes(number), `${value}: ${number} is seen, told is ${said}`);
    told.add(said);
  }
  assert.equal(told.size, 4, 'each of the settings changes what is under the cursor');
});
