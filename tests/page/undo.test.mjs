// Undo and redo of everything a person does.

import assert from 'node:assert/strict';

import * as kit from './kit.mjs';

const { onPage } = kit.suite(async (page) => {
  await kit.drop(page, await Promise.all(['harbour-range-before-1.c3d', 'harbour-range-after-1.csv', 'harbour-range.rig.json'].map(kit.sample)));
  await kit.ready(page, 2);
});

/** @typedef {import('playwright-core').Page} Page */

/** @param {Page} page */
const word = async (page) => (await page.innerText('#undo')).trim();

/** @param {Page} page @param {string} keys */
async function press(page, keys) {
  await page.keyboard.press(keys);
  await kit.settled(page);
}

onPage('a drag is one step, with what will be undone in words', async (page) => {
  const before = await kit.measured(page, 'backswing_s');
  const handle = page.getByRole('slider', { name: 'top', exact: true });
  for (const by of [-30, 14]) {
    const box = await handle.boundingBox();
    assert.ok(box);
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    for (let i = 1; i <= 8; i += 1) {
      await page.mouse.move(x + (by * i) / 8, y);
      await page.evaluate(() => new Promise((done) => requestAnimationFrame(done)));
    }
    // What the numbers are before the button is let go, they are after it.
    await kit.settled(page);
    const held = await kit.measured(page, 'backswing_s');
    assert.notEqual(held, before);
    await page.mouse.up();
    await kit.settled(page);
    assert.equal(await kit.measured(page, 'backswing_s'), held);
  }
  const twice = await kit.measured(page, 'backswing_s');
  assert.equal(await word(page), 'Undo moving top of harbour-range-before-1.c3d');
  await press(page, 'Control+z');
  const once = await kit.measured(page, 'backswing_s');
  assert.ok(once < twice - 0.01 && once < before - 0.01, 'the second drag is taken back whole, the first is not');
  await press(page, 'Control+z');
  assert.equal(await kit.measured(page, 'backswing_s'), before);
  assert.match(await page.locator('#events').innerText(), /top, from the file/, 'it is the file’s again');
  await press(page, 'Control+Shift+Z');
  assert.equal(await kit.measured(page, 'backswing_s'), once);
  await press(page, 'Control+y');
  assert.equal(await kit.measured(page, 'backswing_s'), twice);
  assert.equal(await page.isDisabled('#redo'), true);
});

onPage('sets, labels, settings, events by key and removed recordings come back, in turn', async (page) => {
  const start = await kit.measured(page, 'torque_max_nm_per_kg');
  const radios = page.getByRole('radiogroup', { name: 'Set of harbour-range-after-1.csv' });
  await radios.getByLabel('B').check();
  await kit.settled(page);
  await page.fill('#label-B', '');
  await page.locator('#label-B').pressSequentially('stepping');
  await page.locator('#label-B').blur();
  await kit.settled(page);
  await page.fill('#mass', '37');
  await page.press('#mass', 'Enter');
  await page.locator('#mass').blur();
  await kit.settled(page);
  assert.ok(Math.abs((await kit.measured(page, 'torque_max_nm_per_kg')) / start - 2) < 0.02);
  await page.keyboard.press('t');
  for (let i = 0; i < 5; i += 1) await page.keyboard.press('Shift+ArrowLeft');
  await kit.settled(page);
  await page.getByRole('button', { name: 'Remove harbour-range-after-1.csv' }).click();
  await kit.settled(page);
  assert.equal(await page.locator('.recording').count(), 1);

  assert.equal(await word(page), 'Undo removing harbour-range-after-1.csv');
  await page.click('#undo');
  await kit.ready(page, 2);
  assert.equal(await page.locator('.recording .name').last().innerText(), 'harbour-range-after-1.csv', 'in its place');
  assert.equal(await radios.getByLabel('B').isChecked(), true, 'in its set');
  assert.equal(await word(page), 'Undo moving top of harbour-range-before-1.c3d');
  await page.click('#undo');
  await kit.settled(page);
  assert.match(await page.locator('#events').innerText(), /top, from the file/, 'five presses of a key are one step');
  assert.equal(await word(page), 'Undo the body mass');
  await page.click('#undo');
  await kit.settled(page);
  assert.equal(await page.inputValue('#mass'), '', 'the field follows');
  assert.equal(await kit.measured(page, 'torque_max_nm_per_kg'), start);
  assert.equal(await word(page), 'Undo naming set B “stepping”');
  await page.click('#undo');
  await kit.settled(page);
  assert.equal(await page.inputValue('#label-B'), 'after', 'the letters of one name are one step');
  assert.equal(await word(page), 'Undo putting harbour-range-after-1.csv in set B');
  await page.click('#undo');
  await kit.settled(page);
  assert.equal(await radios.getByLabel('A').isChecked(), true);
  for (let i = 0; i < 5; i += 1) {
    await page.click('#redo');
    await kit.settled(page);
  }
  await kit.ready(page, 1);
  assert.equal(await page.inputValue('#label-B'), 'stepping');
  assert.equal(await page.inputValue('#mass'), '37');
  assert.match(await page.locator('#events').innerText(), /top, by hand/);
});

onPage('a field undoes its own letters, and taking files in is undone too', async (page) => {
  await page.getByRole('radiogroup', { name: 'Set of harbour-range-after-1.csv' }).getByLabel('B').check();
  await kit.settled(page);
  await page.focus('#label-A');
  await press(page, 'Control+z');
  assert.equal(await word(page), 'Undo putting harbour-range-after-1.csv in set B', 'nothing was undone from inside a field');
  await page.locator('#label-A').blur();
  await press(page, 'Control+z');
  await page.waitForFunction(() => document.querySelector('#steps-said')?.textContent?.startsWith('Undone: putting'));
  assert.equal(await word(page), 'Undo taking in 2 recordings');
  await press(page, 'Control+z');
  await page.waitForFunction(() => document.querySelectorAll('.recording').length === 0);
  await press(page, 'Control+Shift+Z');
  await kit.ready(page, 2);
});

onPage('a cut-off that was typed is there again when the filter was off meanwhile', async (page) => {
  await page.fill('#low-pass-hz', '30');
  await page.press('#low-pass-hz', 'Enter');
  await kit.settled(page);
  const value = await kit.measured(page, 'torque_max_nm');
  for (const other of ['off', 'auto']) {
    await page.selectOption('#low-pass', other);
    await kit.settled(page);
    await page.selectOption('#low-pass', 'hz');
    await kit.settled(page);
    assert.equal(await page.inputValue('#low-pass-hz'), '30', other);
    assert.equal(await kit.measured(page, 'torque_max_nm'), value);
  }
});
