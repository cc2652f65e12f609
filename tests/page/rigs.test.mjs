// Which rig file a table is read with: the one it came with, until a person says otherwise.

import assert from 'node:assert/strict';

import * as kit from './kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

const { onPage } = kit.suite(async (page) => {
  await page.selectOption('#handed', 'left');
  await kit.drop(page, await Promise.all(['harbour-range-before-1.csv', 'harbour-range.rig.json'].map(kit.sample)));
  await kit.ready(page, 1);
});

/** The rig of a bay whose second plate lies further off, which every torque shows. @param {string} name */
async function otherBay(name) {
  const rig = JSON.parse((await kit.sample('harbour-range.rig.json')).bytes.toString());
  rig.name = 'Harbour Range, bay 2';
  rig.plates[1].centre_m[1] += 0.1;
  return kit.written(name, JSON.stringify(rig));
}

/** The torque of the recording with this name. @param {Page} page @param {string} name */
async function torque(page, name) {
  await page.getByRole('button', { name, exact: true }).click();
  await kit.settled(page);
  return kit.measured(page, 'torque_max_nm');
}

const FIRST = 'harbour-range-before-1.csv';
const SECOND = 'harbour-range-before-2.csv';

onPage('a table stays with the rig it was read with when the rig of another bay comes', async (page) => {
  const first = await torque(page, FIRST);
  await kit.drop(page, [await kit.sample(SECOND), await otherBay('bay-2.rig.json')]);
  await kit.ready(page, 2);
  assert.equal(await torque(page, FIRST), first);
  const inBay2 = await torque(page, SECOND);
  assert.match(await page.innerText('#rig'), /New tables are read with bay-2\.rig\.json; 1 recording stays with harbour-range\.rig\.json\./);

  // A fresh worker reads everything again: set B needs the whole module.
  await page.getByRole('radiogroup', { name: `Set of ${SECOND}` }).getByLabel('B', { exact: true }).check();
  await page.waitForFunction(() => document.querySelector('#findings .counted'));
  await kit.settled(page);
  assert.equal(await torque(page, FIRST), first, 'nor does reading it again change it');
  assert.equal(await torque(page, SECOND), inBay2);

  // Kept in the browser, with its rig.
  await page.check('#session-keep');
  await kit.kept(page);
  await page.reload();
  await kit.ready(page, 2);
  assert.equal(await torque(page, FIRST), first);
  assert.equal(await torque(page, SECOND), inBay2);
});

onPage('read with the new rig too when a person says so, and back again', async (page) => {
  const first = await torque(page, FIRST);
  await kit.drop(page, [await otherBay('bay-2.rig.json')]);
  await kit.settled(page);
  assert.equal(await torque(page, FIRST), first);
  await page.getByRole('button', { name: 'Read it with bay-2.rig.json too' }).click();
  await kit.ready(page, 1);
  const moved = await kit.measured(page, 'torque_max_nm');
  assert.ok(Math.abs(moved - first) > 0.5, `the other bay shows: ${first}, then ${moved}`);
  assert.match(await page.innerText('#rig'), /^Tables are read with bay-2\.rig\.json$/);
  assert.equal((await page.innerText('#undo')).trim(), `Undo reading ${FIRST} with bay-2.rig.json`);
  await page.click('#undo');
  await kit.ready(page, 1);
  assert.equal(await kit.measured(page, 'torque_max_nm'), first);
  await page.click('#redo');
  await kit.ready(page, 1);
  assert.equal(await kit.measured(page, 'torque_max_nm'), moved);
});

onPage('a rig file of the same name takes the place of the one before', async (page) => {
  const first = await torque(page, FIRST);
  await kit.drop(page, [await otherBay('harbour-range.rig.json')]);
  await kit.ready(page, 1);
  const moved = await kit.measured(page, 'torque_max_nm');
  assert.ok(Math.abs(moved - first) > 0.5, `mended: ${first}, then ${moved}`);
  await page.click('#undo');
  await kit.ready(page, 1);
  assert.equal(await kit.measured(page, 'torque_max_nm'), first);
});

onPage('a rig of one foot only says what to do, and doing it reads the table', async (page) => {
  const rig = JSON.parse((await kit.sample('harbour-range.rig.json')).bytes.toString());
  rig.plates.length = 1;
  rig.name = 'One plate';
  await kit.drop(page, [await kit.sample(SECOND), kit.written('one-plate.rig.json', JSON.stringify(rig))]);
  const refused = page.locator('#refused li span').filter({ hasText: SECOND });
  await refused.waitFor();
  assert.equal(
    (await refused.innerText()).trim(),
    `${SECOND}: only the lead foot has a plate; expected a plate for each foot, or one that carries both; try adding the trail foot's plate to the rig, or "foot": "both" if this plate carries both feet`,
  );
  rig.plates[0].foot = 'both';
  await kit.drop(page, [await kit.sample(SECOND), kit.written('one-plate.rig.json', JSON.stringify(rig))]);
  await kit.ready(page, 2);
});
