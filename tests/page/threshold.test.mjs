// The load threshold: set on the page, said wherever it counts, kept, and the same in A, in B and in the command.

import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

import * as kit from './kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

const stage = kit.suite();
const { onPage } = stage;

const samples = fileURLToPath(new URL('../../samples/', import.meta.url));
const run = promisify(execFile);
const NAME = 'harbour-range-before-1.c3d';
const FIELD = '#load-threshold';

/** @param {Page} page @param {string} text */
async function type(page, text) {
  await page.fill(FIELD, text);
  await page.press(FIELD, 'Enter');
  await page.locator(FIELD).blur();
  await kit.settled(page);
}

/** @param {Page} page */
async function one(page) {
  await kit.unfold(page);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await kit.sample(NAME)]);
  await kit.ready(page, 1);
  await kit.unfold(page);
}

/** @param {Page} page @param {string} id */
const row = (page, id) => page.locator(`tr[data-measure="${id}"]`);

/** What the command writes. @param {string[]} names @param {string[]} options */
async function measured(names, options) {
  assert.ok(process.env.FOOTING, 'FOOTING names the command');
  return (await run(process.env.FOOTING, ['measure', ...names, '--handed', 'left', ...options], { cwd: samples, maxBuffer: 1 << 28 })).stdout;
}

/** @param {Page} page @param {string} button */
async function saved(page, button) {
  const [file] = await Promise.all([page.waitForEvent('download'), page.locator(`#${button}`).click()]);
  return (await readFile(await file.path())).toString();
}

for (const [screen, options] of /** @type {[string, import('playwright-core').BrowserContextOptions][]} */ ([
  ['a wide screen', {}],
  ['a phone of 320 pixels', { viewport: { width: 320, height: 640 }, hasTouch: true, isMobile: true }],
])) {
  onPage(`on ${screen} the threshold says its default, what was used and why another was; what is typed changes what is computed`, async (page) => {
    await one(page);
    const hint = () => page.innerText(`${FIELD}-hint`);
    assert.match(await hint(), /left empty: 30 N or 5 % of body weight, whichever is more; this recording: threshold 36\.3 N$/);
    assert.match(await page.innerText('#measures-about'), /; low-pass 50 Hz; load threshold 36\.3 N$/);
    const before = await kit.measured(page, 'cop_angle_at_top_deg');
    await type(page, '300');
    assert.match(await hint(), /; this recording: threshold 300\.0 N$/);
    assert.match(await page.innerText('#measures-about'), /; load threshold 300\.0 N$/);
    assert.match(await row(page, 'cop_angle_at_top_deg').innerText(), /absent[^]*a foot carries less than the load threshold then/);
    // What cannot be meant is told in one sentence, and changes nothing.
    for (const wrong of ['0', '1001', 'much', '-40']) {
      await type(page, wrong);
      assert.equal(await page.innerText(`${FIELD}-fault`), 'expected a number from 1 to 1000, or nothing');
      assert.equal(await page.getAttribute(FIELD, 'aria-invalid'), 'true');
      assert.match(await page.innerText('#measures-about'), /; load threshold 300\.0 N$/);
    }
    await kit.reachable(page, 'a threshold that cannot be');
    await type(page, '500');
    assert.equal(await page.innerText(`${FIELD}-fault`), '');
    assert.match(await hint(), /A load threshold of 500 N is more than a foot carries in quiet stance \(333 N\), so 36\.3 N was used\. Choose a lower one, or leave it empty\.$/);
    assert.equal(await kit.measured(page, 'cop_angle_at_top_deg'), before);
    await kit.reachable(page, 'a threshold that was not used');
    assert.ok((await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)) <= 0);
    await type(page, '');
    assert.match(await hint(), /; this recording: threshold 36\.3 N$/);
  }, options);
}

onPage('the threshold counts in A and in B, and what is saved is what the command writes with it', async (page) => {
  await kit.twoSets(page);
  const angle = page.locator('tr[data-finding="cop_angle_at_top_deg"]');
  assert.notEqual(await angle.getAttribute('data-verdict'), 'absent');
  await type(page, '300');
  await page.waitForFunction(() => document.querySelector('tr[data-finding="cop_angle_at_top_deg"]')?.getAttribute('data-verdict') === 'absent');
  assert.match(await angle.innerText(), /absent: a foot carries less than the load threshold then/);
  assert.equal(await row(page, 'cop_angle_at_top_deg').locator('.of-A').innerText(), '');
  assert.match(await row(page, 'cop_angle_at_address_deg').locator('.of-A').innerText(), /\(n 6/);
  await page.locator('#send-open').click();
  const names = await page.locator('.recording .name').allInnerTexts();
  const close = (/** @type {string} */ text) => text.replaceAll(/-?\d+\.\d{7,}(e-?\d+)?|-?\d+(\.\d+)?e-?\d+/g, (number) => String(Number(Number(number).toPrecision(7))));
  const table = await saved(page, 'send-measures-csv');
  assert.equal(close(table), close(await measured(names, ['--csv', '--load-threshold', '300'])));
  assert.ok(table.split('\r\n')[1].split(',').includes('300'), table.slice(0, 2000));
  assert.deepEqual(JSON.parse(await saved(page, 'send-json')).load_threshold_n, [300, 300]);
});

/** The checksum of a session file: FNV-1a. @param {string} text */
function checksum(text) {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i += 1) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, '0');
}

onPage('a session keeps the threshold; one that was saved before there was any has the default', async (page) => {
  await one(page);
  await type(page, '250');
  const session = JSON.parse(await saved(page, 'session-save'));
  assert.equal(session.holds.settings.load_threshold_n, 250);
  const opened = async (/** @type {string} */ name) => {
    await page.setInputFiles('#session-input', [{ name, mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(session)) }]);
    await page.getByText(`Opened ${name}: 1 recording`).waitFor();
    await kit.ready(page, 1);
    return [await page.inputValue(FIELD), (await page.innerText('#measures-about')).replace(/^.*; /, '')];
  };
  await type(page, '100');
  assert.deepEqual(await opened('kept.footing.json'), ['250', 'load threshold 250.0 N']);
  delete session.holds.settings.load_threshold_n;
  session.checksum = checksum(JSON.stringify(session.holds));
  assert.deepEqual(await opened('older.footing.json'), ['', 'load threshold 36.3 N']);
});
