// What the checks of the Wiring share: tables made from the samples, and hands for its fields.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';

import * as kit from './kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

/** A sample table without its line of names. @param {number} n */
export async function nameless(n) {
  const text = (await kit.sample(`harbour-range-before-${n}.csv`)).bytes.toString();
  return kit.written(`bare-${n}.csv`, text.slice(text.indexOf('\n') + 1));
}

/** Waits until the newest change was tried. @param {Page} page */
export const tried = (page) => page.waitForSelector('#wiring:not([aria-busy])');

/** The rows of a sample table, names first. @param {string} name */
export async function cells(name) {
  const text = (await kit.sample(name)).bytes.toString().trim();
  return text.split(/\r?\n/).map((line) => line.split(','));
}

/** @param {string} name @param {(string | number)[][]} rows */
export const table = (name, rows) => kit.written(name, `${rows.map((row) => row.join(',')).join('\n')}\n`);

/** What the simulator made a swing of the invented player from. @param {string} name */
export const made = async (name) => (await kit.truth(name)).measures['stance-centre'];

/** Opens the Wiring of a recording. @param {Page} page @param {string} name */
export async function openWiring(page, name) {
  await page.locator('.recording', { hasText: name }).getByRole('button', { name: /^Wir(e it|ing)…/ }).click();
  await page.waitForSelector('#wiring[open]');
  await tried(page);
}

/** A field of the Wiring. @param {Page} page @param {string} field */
export const field = (page, field) => page.locator(`#wiring [data-field="${field}"]`);

/** The torque in the live view: its least, N·m. @param {Page} page */
export async function liveTorque(page) {
  await tried(page);
  return kit.number((await page.innerText('#wiring-numbers')).split('vertical torque in the swing')[1]);
}

/** @param {Page} page */
export const focused = (page) => page.evaluate(() => document.activeElement?.getAttribute('data-field') ?? document.activeElement?.id ?? '');

/** What the Wiring would save. @param {Page} page */
export async function savedRig(page) {
  await tried(page);
  const download = page.waitForEvent('download');
  await page.click('#wiring-save');
  return JSON.parse(await readFile(await (await download).path(), 'utf8'));
}

/** The places of the invented bay, as samples/harbour-range.rig.json has them. @param {Page} page @param {number} plates */
export async function fillBay(page, plates) {
  await field(page, 'target').fill('90');
  for (let i = 0; i < plates; i += 1) {
    await field(page, `plate ${i} centre_m 0`).fill('1.2');
    await field(page, `plate ${i} centre_m 1`).fill(i === 0 ? '0.87' : '0.33');
    await field(page, `plate ${i} azimuth`).fill('90');
    await field(page, `plate ${i} moment_point_m 2`).fill('-0.04');
  }
}

/**
 * A sample as an OpenSim storage file: x forward, y up, z right, forces, points and free moments by their definitions,
 * the plates where samples/harbour-range.rig.json has them: x a quarter turn from the lab's, moments about 40 mm down.
 * @param {string} name @param {[string, string]} prefixes
 */
export async function storage(name, prefixes) {
  const [, ...rows] = await cells('harbour-range-before-1.csv');
  const lines = rows.map((row) => {
    const v = row.map(Number);
    const out = [v[0]];
    for (const [i, y0] of [0.87, 0.33].entries()) {
      const [fx, fy, fz, mx, my, mz] = v.slice(1 + 6 * i, 7 + 6 * i);
      const [top_x, top_y] = [mx + 0.04 * fy, my - 0.04 * fx];
      const [cx, cy] = [-top_y / fz, top_x / fz];
      const tz = mz - (cx * fy - cy * fx);
      const [lab_x, lab_y] = [1.2 - cy, y0 + cx];
      // The lab's x, y, z are the file's x, −z, y.
      out.push(-fy, fz, -fx, lab_x, 0, -lab_y, 0, tz, 0);
    }
    return out.map((n) => n.toFixed(5)).join('\t');
  });
  const labels = prefixes.flatMap((p) => [...'xyz'].map((a) => `${p}ground_force_v${a}`).concat([...'xyz'].map((a) => `${p}ground_force_p${a}`), [...'xyz'].map((a) => `${p}ground_torque_${a}`)));
  const head = ['swing', 'version=1', `nRows=${lines.length}`, 'nColumns=19', 'inDegrees=no', 'endheader', ['time', ...labels].join('\t')];
  return kit.written(name, `${[...head, ...lines].join('\n')}\n`);
}

/** Holds the measures on the page to the truth of a sample, by its lowest torque. @param {Page} page @param {string} sample */
export async function isTrue(page, sample) {
  await kit.settled(page);
  const truth = await made(sample);
  const low = await kit.measured(page, 'torque_min_nm');
  assert.ok(Math.abs(low - truth.torque_min_nm) < 1.5, `${low} is ${truth.torque_min_nm}`);
}
