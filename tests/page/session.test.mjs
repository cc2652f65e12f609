// Nothing of a session is lost: kept in the browser when asked, saved to a file, opened again, asked about on leaving.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';

import * as kit from './kit.mjs';

const stage = kit.suite();
const { onPage } = stage;

/** @typedef {import('playwright-core').Page} Page */

const FILES = ['harbour-range-before-1.c3d', 'harbour-range-before-2.c3d', 'harbour-range-after-1.csv', 'harbour-range-after-2.csv', 'harbour-range.rig.json'];

/** Work of a hand of every kind. @param {Page} page */
async function work(page) {
  await kit.drop(page, await Promise.all(FILES.map(kit.sample)));
  await kit.ready(page, 4);
  for (const name of FILES.slice(2, 4)) await page.getByRole('radiogroup', { name: `Set of ${name}` }).getByLabel('B').check();
  await page.fill('#label-B', 'after the step');
  await page.selectOption('#handed', 'left');
  await page.fill('#mass', '70');
  await page.press('#mass', 'Enter');
  await page.locator('#mass').blur();
  await page.keyboard.press('t');
  for (let i = 0; i < 3; i += 1) await page.keyboard.press('Shift+ArrowLeft');
  await kit.settled(page);
}

/** What the page shows of it. @param {Page} page */
const shown = (page) =>
  page.evaluate(() => ({
    names: [...document.querySelectorAll('.recording .name')].map((e) => e.textContent),
    sets: [...document.querySelectorAll('.recording input[type="radio"]:checked')].map((e) => /** @type {HTMLInputElement} */ (e).value),
    fields: ['label-A', 'label-B', 'handed', 'mass'].map((id) => /** @type {HTMLInputElement} */ (document.getElementById(id)).value),
    rig: document.querySelector('#rig')?.textContent,
    events: document.querySelector('#events')?.textContent,
    measures: document.querySelector('#measures-body')?.textContent,
  }));

/** @param {Page} page */
async function reload(page) {
  await page.reload();
  await page.waitForSelector('html[data-ready]');
}

onPage('a session kept in the browser survives a reload exactly, and is forgotten when told', async (page) => {
  await work(page);
  assert.match(await page.innerText('#session-means'), /stays in this browser on this computer .*may delete it.*others who use this computer can see it.*Save a file/);
  await page.getByLabel('Keep this session in this browser').check();
  await kit.kept(page);
  const before = await shown(page);
  assert.match(before.events ?? '', /top, by hand/);
  await reload(page);
  await kit.ready(page, 4);
  assert.deepEqual(await shown(page), before);
  assert.equal(await page.getByLabel('Keep this session in this browser').isChecked(), true);

  await page.keyboard.press('t');
  await page.keyboard.press('Shift+ArrowLeft');
  await kit.settled(page);
  await kit.kept(page);
  const later = await shown(page);
  assert.notEqual(later.events, before.events);
  await reload(page);
  await kit.ready(page, 4);
  assert.deepEqual(await shown(page), later, 'it goes on being kept');

  await page.getByRole('button', { name: 'Forget it' }).click();
  await page.getByText(/The browser has forgotten it/).waitFor();
  assert.deepEqual(await page.evaluate(async () => (await indexedDB.databases()).map((d) => d.name)), []);
  page.on('dialog', (dialog) => void dialog.accept());
  await reload(page);
  await kit.settled(page);
  assert.equal(await page.locator('.recording').count(), 0);
});

onPage('a second open page of the same browser leaves the kept session alone', async (page) => {
  await kit.drop(page, [await kit.sample('harbour-range-before-1.c3d')]);
  await kit.ready(page, 1);
  await page.getByLabel('Keep this session in this browser').check();
  await kit.kept(page);
  const other = await page.context().newPage();
  await other.goto(stage.host.url);
  await other.getByText('Another open page of this browser shows the kept session; this one starts empty and keeps nothing').waitFor();
  await other.close();
  await reload(page);
  await kit.ready(page, 1);
});

onPage('a session file opens on another computer exactly as it was saved', async (page) => {
  await work(page);
  const before = await shown(page);
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save session to a file' }).click()]);
  assert.match(download.suggestedFilename(), /^session-\d{4}-\d\d-\d\d\.footing\.json$/);
  const bytes = await readFile(await download.path());
  const saved = JSON.parse(bytes.toString());
  assert.equal(saved.format, 'footing-session/1');
  const original = (await kit.sample('harbour-range-before-1.c3d')).bytes;
  assert.ok(Buffer.from(saved.holds.recordings[0].base64, 'base64').equals(original), 'the recording is inside, byte for byte');

  const elsewhere = await kit.open(stage.browser, stage.host.url);
  await elsewhere.page.setInputFiles('#session-input', [{ name: 'k-07.footing.json', mimeType: 'application/json', buffer: bytes }]);
  await kit.ready(elsewhere.page, 4);
  assert.deepEqual(await shown(elsewhere.page), before);
  await elsewhere.close();

  const dropped = await kit.open(stage.browser, stage.host.url);
  await kit.drop(dropped.page, [await kit.sample('vertical-only.csv'), await kit.sample('vertical-only.rig.json')]);
  await kit.ready(dropped.page, 1);
  await kit.drop(dropped.page, [{ name: 'k-07.footing.json', bytes }]);
  await dropped.page.getByText('Opened k-07.footing.json: 4 recordings').waitFor();
  await kit.ready(dropped.page, 4);
  assert.deepEqual(await shown(dropped.page), before);
  await dropped.close();
});

onPage('a damaged, foreign or later session file gives one sentence and leaves the page as it is', async (page) => {
  await kit.drop(page, [await kit.sample('harbour-range-before-1.c3d')]);
  await kit.ready(page, 1);
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save session to a file' }).click()]);
  const good = (await readFile(await download.path())).toString();
  const at = good.indexOf('"base64":"') + 5000;
  const other = good[at] === 'A' ? 'B' : 'A';
  const lacking = JSON.stringify({ format: 'footing-session/1', checksum: '7b6e27a5', holds: {} });
  for (const [name, text, sentence] of /** @type {[string, string, RegExp][]} */ ([
    ['cut.json', good.slice(0, good.length / 2), /^cut\.json: the session file is damaged or cut short, expected .*; try /],
    ['bit.json', good.slice(0, at) + other + good.slice(at + 1), /^bit\.json: .*checksum does not agree.*expected .*; try /],
    ['later.json', good.replace('footing-session/1', 'footing-session/9'), /^later\.json: it is a session of a later Footing \(footing-session\/9\), expected /],
    ['other.json', '{"name": "something else"}', /^other\.json: it is no session of Footing, expected /],
    ['text.json', 'hello', /^text\.json: the session file is damaged/],
    ['lacking.json', lacking, /^lacking\.json: the session file (lacks part|was changed)/],
  ])) {
    await page.setInputFiles('#session-input', [{ name, mimeType: 'application/json', buffer: Buffer.from(text) }]);
    await page.waitForFunction((n) => document.querySelector('#session-fault')?.textContent?.startsWith(n), name);
    assert.match(await page.innerText('#session-fault'), sentence);
  }
  assert.equal(await page.locator('.recording[data-status="ready"]').count(), 1);
});

onPage('leaving with unsaved work of a hand asks; without, or when it is saved, it does not', async (page) => {
  const asked = /** @type {string[]} */ ([]);
  page.on('dialog', (dialog) => {
    asked.push(dialog.type());
    void dialog.accept();
  });
  await page.getByRole('button', { name: 'Open the sample swings' }).click();
  await kit.ready(page, 12);
  await reload(page);
  assert.deepEqual(asked, [], 'samples that were only looked at are no work');
  await kit.drop(page, [await kit.sample('harbour-range-before-1.c3d')]);
  await kit.ready(page, 1);
  await page.keyboard.press('t');
  await page.keyboard.press('Shift+ArrowLeft');
  await kit.settled(page);
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save session to a file' }).click()]);
  await download.path();
  await kit.settled(page);
  await reload(page);
  assert.deepEqual(asked, [], 'what was saved is safe');
  await kit.drop(page, [await kit.sample('harbour-range-before-1.c3d')]);
  await kit.ready(page, 1);
  await page.click('#cursor');
  await page.keyboard.press('t');
  await page.keyboard.press('Shift+ArrowLeft');
  await kit.settled(page);
  await reload(page);
  assert.deepEqual(asked, ['beforeunload']);
});
