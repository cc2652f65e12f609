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
    assert.match(remark, /^estimated: rests on .*impact; impact 20 ms earlier /);
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
