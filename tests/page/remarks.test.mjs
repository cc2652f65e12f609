// What stands beside a number: what it rests on, and what it would be if an estimated impact moved.

import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before } from 'node:test';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

import * as kit from './kit.mjs';

const samples = fileURLToPath(new URL('../../samples/', import.meta.url));
const run = promisify(execFile);
const NAME = 'harbour-range-before-1.csv';
const SETS = { A: [NAME, 'harbour-range-before-2.csv'], B: ['harbour-range-after-1.csv', 'harbour-range-after-2.csv'] };

/** @typedef {import('playwright-core').Page} Page */

const { onPage } = kit.suite();
let folder = '';

before(async () => {
  folder = await mkdtemp(join(tmpdir(), 'remarks-'));
});

after(() => rm(folder, { recursive: true }));

/** The rig of the sample without its trigger: nothing but force tells of impact. */
async function rigWithoutTrigger() {
  const rig = JSON.parse((await kit.sample('harbour-range.rig.json')).bytes.toString());
  return kit.written('no-trigger.rig.json', JSON.stringify({ ...rig, markers: [] }));
}

/** What the command measures with impact set, or left to its estimate. @param {{name: string, bytes: Buffer}} rig @param {number} [impact_s] */
async function measured(rig, impact_s) {
  const command = process.env.FOOTING;
  assert.ok(command, 'FOOTING names the command');
  const own = await mkdtemp(join(folder, 'one-'));
  const [rigAt, eventsAt] = [join(own, rig.name), join(own, 'events.json')];
  await writeFile(rigAt, rig.bytes);
  await writeFile(eventsAt, JSON.stringify(impact_s === undefined ? {} : { impact_s }));
  const { stdout } = await run(command, ['measure', NAME, '--rig', rigAt, '--events', eventsAt, '--handed', 'left', '--json'], { cwd: samples, maxBuffer: 1 << 28 });
  return JSON.parse(stdout).recordings[0];
}

onPage('a measure on an estimated impact says what it would be were impact 20 ms earlier or later', async (page) => {
  const rig = await rigWithoutTrigger();
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await kit.sample(NAME), rig]);
  await kit.ready(page, 1);
  const { impact } = (await measured(rig)).events;
  assert.equal(impact.source, 'estimated');
  const moved = async (/** @type {number} */ by) => (await measured(rig, impact.t_s + by)).measures;
  const [earlier, later] = [await moved(-0.02), await moved(0.02)];
  for (const [id, decimals] of /** @type {[string, number][]} */ ([['impulse_net_nms', 2], ['cop_angle_at_impact_deg', 1], ['downswing_s', 2]])) {
    const remark = await page.locator(`tr[data-measure="${id}"] .remark`).innerText();
    assert.match(remark, /^(\S+° from address; )?estimated: rests on .*impact; impact 20 ms earlier /);
    const [, first, second] = remark.match(/impact 20 ms earlier (\S+), later (\S+)$/) ?? [];
    // as far as the page prints them
    const half = 0.5001 * 10 ** -decimals;
    assert.ok(Math.abs(kit.number(first) - earlier[id]) <= half, `${id} earlier: ${first}, ${earlier[id]}`);
    assert.ok(Math.abs(kit.number(second) - later[id]) <= half, `${id} later: ${second}, ${later[id]}`);
    assert.notEqual(earlier[id], later[id], id);
  }
  // What does not rest on impact has no such remark, and a time that rests on estimates no third decimal.
  assert.doesNotMatch(await page.locator('tr[data-measure="torque_at_top_nm"] .remark').innerText(), /20 ms/);
  assert.match(await page.locator('tr[data-measure="downswing_s"] td.number').first().innerText(), /^\d\.\d\d$/);
  assert.match(await page.innerText('#sentence'), /about \d+ ms (before|after) the estimated top \(rests on estimated takeaway and impact too\)/);
  await page.selectOption('#reference', 'combined-cop');
  await kit.settled(page);
  assert.match(await page.innerText('#sentence'), /about the combined CoP that is descriptive only/);
});

/** Samples without a trigger, two in A and two in B, read as the left-handed player's. @param {Page} page */
async function withoutTrigger(page) {
  await kit.unfold(page);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [...(await Promise.all(SETS.A.map(kit.sample))), await rigWithoutTrigger()]);
  await kit.ready(page, 2);
  await kit.drop(page, await Promise.all(SETS.B.map(kit.sample)));
  await kit.ready(page, 4);
  await kit.unfold(page);
  for (const name of SETS.B) await page.locator('.recording', { hasText: name }).getByLabel('B', { exact: true }).evaluate((e) => /** @type {HTMLInputElement} */ (e).click());
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('B, after: 2 swings'));
  await kit.settled(page);
  await kit.unfold(page);
  const all = page.locator('#measures .show-all');
  if (await all.isVisible()) await all.click();
}

/** What the command measures of every recording. @param {string[]} names */
async function each(names) {
  const rig = await rigWithoutTrigger();
  const at = join(folder, rig.name);
  await writeFile(at, rig.bytes);
  const { stdout } = await run(String(process.env.FOOTING), ['measure', ...names, '--rig', at, '--handed', 'left', '--json'], { cwd: samples, maxBuffer: 1 << 28 });
  return JSON.parse(stdout).recordings;
}

const mean = (/** @type {number[]} */ values) => values.reduce((sum, v) => sum + v, 0) / values.length;
const near = (/** @type {string | undefined} */ text, /** @type {number} */ value, /** @type {number} */ decimals) =>
  assert.ok(Math.abs(kit.number(text) - value) <= 0.5001 * 10 ** -decimals, `${text} is ${value}`);

for (const [screen, options] of /** @type {[string, import('playwright-core').BrowserContextOptions][]} */ ([
  ['a wide screen', {}],
  ['a phone of 320 pixels', { viewport: { width: 320, height: 640 }, hasTouch: true, isMobile: true }],
])) {
  onPage(`on ${screen} means of A and B say which of their swings are estimated, and what 20 ms of impact would do to them`, async (page) => {
    await withoutTrigger(page);
    const cell = (/** @type {string} */ id, /** @type {'A' | 'B'} */ set) => page.locator(`tr[data-measure="${id}"] .of-${set}`);
    const ID = 'total_ft_min_n';
    for (const set of /** @type {const} */ (['A', 'B'])) {
      assert.match(await cell(ID, set).innerText(), /\(n 2\)\s+estimated$/);
      assert.match(await cell('body_mass_kg', set).innerText(), /\(n 2\)$/);
    }
    await page.locator(`tr[data-measure="${ID}"] .measure`).click();
    await kit.settled(page);
    for (const [set, label] of /** @type {const} */ ([['A', 'A, before'], ['B', 'B, after']])) {
      const said = (await page.locator(`#more-${ID} dl > div`, { hasText: label }).innerText()).replaceAll(/\s+/g, ' ');
      const [, first, second] = said.match(/estimated: rests on takeaway and impact; mean with impact 20 ms earlier (\S+), later (\S+)$/) ?? [];
      const shifts = (await each(SETS[set])).map((/** @type {any} */ r) => r.impact_shift_20ms[ID]);
      near(first, mean(shifts.map((/** @type {number[]} */ s) => s[0])), 0);
      near(second, mean(shifts.map((/** @type {number[]} */ s) => s[1])), 0);
    }
    await kit.reachable(page, 'estimated means');
    assert.ok((await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)) <= 0);
    // A hand that sets takeaway and impact of one of them says so of one of them less.
    await page.getByRole('button', { name: SETS.A[0], exact: true }).click();
    await kit.settled(page);
    for (const event of ['takeaway', 'impact']) await page.getByRole('slider', { name: event, exact: true }).press('ArrowRight');
    await kit.settled(page);
    assert.match(await cell(ID, 'A').innerText(), /\(n 2\)\s+1 of 2 estimated$/);
    await page.emulateMedia({ media: 'print' });
    await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
    assert.match(await cell(ID, 'B').innerText(), /\(n 2\)\s+estimated$/);
    assert.ok(await cell(ID, 'B').locator('.below').isVisible());
  }, options);

  onPage(`on ${screen} angles are told from address, of the recording and of A and B`, async (page) => {
    await withoutTrigger(page);
    const ID = 'cop_angle_at_top_deg';
    const row = page.locator(`tr[data-measure="${ID}"]`);
    const from = async (/** @type {string[]} */ names) => (await each(names)).map((/** @type {any} */ r) => r.cop_angle_from_address_deg[ID]);
    await page.getByRole('button', { name: SETS.A[0], exact: true }).click();
    await kit.settled(page);
    const [, own] = (await row.locator('.remark').innerText()).match(/^(\S+)° from address; estimated: rests on top$/) ?? [];
    near(own, (await from(SETS.A.slice(0, 1)))[0], 1);
    for (const set of /** @type {const} */ (['A', 'B'])) {
      const [, relative] = (await row.locator(`.of-${set}`).innerText()).match(/\(n 2\)\s+([+−]\d+\.\d)\s±\s\d+\.\d° from address; estimated$/) ?? [];
      near(relative?.replace('+', ''), mean(await from(SETS[set])), 1);
    }
    assert.doesNotMatch(await page.locator('tr[data-measure="cop_angle_at_address_deg"]').innerText(), /from address/);
    assert.doesNotMatch(await page.locator('tr[data-measure="torque_at_top_nm"]').innerText(), /from address/);
    assert.ok((await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)) <= 0);
  }, options);
}
