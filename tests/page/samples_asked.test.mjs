// The sample swings over somebody's own work: asked first, in its place, and one step back.

import assert from 'node:assert/strict';

import axe from 'axe-core';

import * as kit from './kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

const { onPage } = kit.suite();

/** What a person made, as it stands on the page. @param {Page} page */
const work = async (page) => ({
  names: await page.locator('.recording .name').allTextContents(),
  sets: await page.locator('.recording input:checked').evaluateAll((all) => all.map((e) => /** @type {HTMLInputElement} */ (e).value)),
  fields: await Promise.all(['label-A', 'label-B', 'handed', 'mass', 'low-pass'].map((id) => page.inputValue(`#${id}`))),
  top: await page.getByRole('slider', { name: 'top', exact: true }).getAttribute('aria-valuetext'),
  rig: await page.locator('#rig').textContent(),
});

/** @param {Page} page */
async function ownWork(page) {
  await kit.unfold(page);
  await kit.drop(page, await Promise.all(['driver-right-1.csv', 'driver-right-2.csv', 'driver-right.rig.json'].map(kit.sample)));
  await kit.ready(page, 2);
  await kit.unfold(page);
  await page.getByRole('radiogroup', { name: 'Set of driver-right-2.csv' }).getByLabel('neither').check();
  await page.fill('#label-A', 'Monday');
  await page.fill('#mass', '81');
  await page.press('#mass', 'Enter');
  await page.locator('#mass').blur();
  await page.keyboard.press('t');
  await page.keyboard.press('Shift+ArrowLeft');
  await kit.settled(page);
}

const OPEN = 'Put mine aside and open them';

onPage('asked first: cancelled, nothing changes; opened, they come in the place of what is there, and Undo brings all of it back', async (page) => {
  await ownWork(page);
  const own = await work(page);
  assert.equal(own.fields[0], 'Monday');
  for (const cancel of [() => page.getByRole('button', { name: 'Cancel' }).click(), () => page.keyboard.press('Escape')]) {
    await page.click('#sample');
    assert.match(await page.innerText('#sample-ask'), /another player’s.*Your 2 recordings.*Undo brings all of it back/s);
    await page.evaluate(axe.source);
    const violations = await page.evaluate(async () => {
      const found = await /** @type {any} */ (window).axe.run();
      return found.violations.map((/** @type {any} */ v) => `${v.id}: ${v.nodes.map((/** @type {any} */ n) => n.target).join(' ')}`);
    });
    assert.deepEqual(violations, []);
    await cancel();
    await kit.settled(page);
    assert.deepEqual(await work(page), own);
    assert.equal(await page.evaluate(() => document.activeElement?.id), 'sample');
  }
  await page.click('#sample');
  await page.getByRole('button', { name: OPEN }).click();
  await kit.ready(page, 12);
  const theirs = await work(page);
  assert.deepEqual(theirs.fields, ['before', 'after', 'left', '', 'hz']);
  assert.equal(theirs.names.length, 12);
  assert.ok(theirs.names.every((name) => name.startsWith('harbour-range-')));
  assert.ok(await page.locator('#rig').isHidden(), 'nor is there a rig of theirs');
  assert.equal((await page.innerText('#undo')).trim(), 'Undo opening 12 recordings in the place of 2 recordings');
  await page.click('#undo');
  await kit.ready(page, 2);
  assert.deepEqual(await work(page), own);
  assert.equal((await page.innerText('#undo')).trim(), 'Undo setting top of driver-right-1.csv');
  await page.click('#redo');
  await kit.ready(page, 12);
  assert.deepEqual(await work(page), theirs);
});

onPage('onto an empty page, or one with nothing but refused files, they come at once', async (page) => {
  await kit.drop(page, [kit.written('letter.c3d', 'Dear coach')]);
  await page.waitForSelector('#refused li');
  await page.click('#sample');
  await kit.ready(page, 12);
  assert.ok(await page.locator('#sample-ask').isHidden());
});
