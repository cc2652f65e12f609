// The focus of the keyboard: what has it stays, and where that goes, its neighbour has it.

import assert from 'node:assert/strict';

import * as kit from './kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

const { onPage } = kit.suite();

/** What has the focus, in words. @param {Page} page */
const focused = (page) =>
  page.evaluate(() => {
    const e = /** @type {HTMLElement} */ (document.activeElement);
    return e === document.body ? 'nothing' : e.getAttribute('aria-label') ?? e.id ?? e.textContent;
  });

/** @param {Page} page @param {string} key */
async function press(page, key) {
  await page.keyboard.press(key);
  await kit.settled(page);
}

/** @param {Page} page @param {string[]} names @param {number} [count] */
async function open(page, names, count = names.length) {
  await kit.drop(page, await Promise.all(names.map(kit.sample)));
  await kit.ready(page, count);
}

onPage('a marker keeps the focus while another vanishes before it', async (page) => {
  await open(page, ['driver-right-1.csv', 'driver-right.rig.json'], 1);
  const order = () => page.locator('.marker').evaluateAll((all) => all.map((e) => /** @type {HTMLElement} */ (e).dataset.event ?? ''));
  const events = (await order()).length;
  await page.getByRole('slider', { name: 'takeaway', exact: true }).focus();
  let fewer = 0;
  for (let i = 0; i < 14; i += 1) {
    await press(page, 'PageDown');
    assert.equal(await focused(page), 'takeaway', `after ${i + 1} presses`);
    fewer = Math.max(fewer, events - (await order()).length);
  }
  assert.ok(fewer > 0, 'one of the others vanished');
});

onPage('a recording that is removed, and a sentence that is dismissed, hand the focus to the next, the last to the way in', async (page) => {
  await open(page, ['driver-right-1.c3d', 'harbour-range-before-1.c3d', 'harbour-range-before-2.c3d']);
  const away = (/** @type {string} */ name) => page.getByRole('button', { name: `Remove ${name}` });
  await away('harbour-range-before-1.c3d').focus();
  for (const next of ['Remove harbour-range-before-2.c3d', 'Remove driver-right-1.c3d', 'browse']) {
    await press(page, 'Enter');
    assert.equal(await focused(page), next);
  }
  await kit.drop(page, [1, 2, 3].map((i) => kit.written(`letter-${i}.c3d`, `Dear coach ${i}`)));
  await page.waitForFunction(() => document.querySelectorAll('#refused li').length === 3);
  await kit.settled(page);
  const dismiss = page.locator('#refused li button');
  await dismiss.nth(1).focus();
  for (const left of [2, 1]) {
    await press(page, 'Enter');
    assert.equal(await dismiss.count(), left);
    assert.ok(await dismiss.nth(left - 1).evaluate((e) => e === document.activeElement), `${left} are left`);
  }
  await press(page, 'Enter');
  assert.equal(await focused(page), 'browse');
});

onPage('an event that is placed or taken back hands the focus to what can be done with it now', async (page) => {
  await open(page, ['harbour-range-before-1.c3d']);
  await page.selectOption('#handed', 'left');
  await kit.settled(page);
  const PLACE = /^place at the cursor: lead arm level/;
  await page.getByRole('button', { name: PLACE }).focus();
  await press(page, 'Enter');
  assert.equal(await focused(page), 'undo: lead arm level');
  await press(page, 'Enter');
  assert.match(String(await focused(page)), PLACE);
  // By its marker, which goes.
  await press(page, 'Enter');
  await page.getByRole('slider', { name: 'lead arm level', exact: true }).focus();
  await press(page, 'Delete');
  assert.match(String(await focused(page)), PLACE);
  // One that the analysis has a time for stays, as a marker.
  await page.getByRole('slider', { name: 'top', exact: true }).focus();
  await press(page, 'ArrowLeft');
  await page.getByRole('button', { name: 'undo: top' }).focus();
  await press(page, 'Enter');
  assert.equal(await focused(page), 'top');
});

onPage('a marker that leaves the axis does not take the focus along', async (page) => {
  await open(page, ['driver-right-1.csv', 'driver-right.rig.json'], 1);
  await press(page, 'w');
  await page.getByRole('slider', { name: 'finish', exact: true }).focus();
  await press(page, 'End');
  await press(page, 'Delete');
  assert.equal(await focused(page), 'finish');
  await press(page, 'w');
  assert.notEqual(await focused(page), 'nothing');
});
