// Files to keep: recordings one by one, as the command writes them; charts with what they show.

import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

import { PNG } from 'pngjs';

import * as kit from './kit.mjs';

const stage = kit.suite();

const samples = fileURLToPath(new URL('../../samples/', import.meta.url));
const run = promisify(execFile);

/** What the command prints of samples, asked for by bare names as the page knows them. @param {string[]} names @param {string[]} options */
async function measured(names, options) {
  const command = process.env.FOOTING;
  assert.ok(command, 'FOOTING names the command');
  return (await run(command, ['measure', ...names, '--handed', 'left', ...options], { cwd: samples, maxBuffer: 1 << 28 })).stdout;
}

/** Numbers without their last digits: processors may differ in those of a sine. @param {string} text */
const close = (text) => text.replaceAll(/-?\d+\.\d{7,}(e-?\d+)?|-?\d+(\.\d+)?e-?\d+/g, (number) => String(Number(Number(number).toPrecision(7))));

/** @param {import('playwright-core').Page} page @param {string} button */
async function saved(page, button) {
  const [file] = await Promise.all([page.waitForEvent('download'), page.locator(`#${button}`).click()]);
  return { name: file.suggestedFilename(), bytes: await readFile(await file.path()) };
}

test('a single recording is saved in every way, letter by letter as the command writes it', async () => {
  const { page, complaints, close: done } = await kit.open(stage.browser, stage.host.url);
  assert.ok(!(await page.locator('#send-open').isVisible()), 'nothing to save before anything is read');
  await page.selectOption('#handed', 'left');
  const name = 'harbour-range-before-1.c3d';
  await kit.drop(page, [await kit.sample(name)]);
  await kit.ready(page, 1);
  assert.equal(await page.innerText('#send-open'), 'Save…');
  await page.locator('#send-open').click();
  assert.match(await page.innerText('#send-alone'), /A link holds a comparison/);
  assert.ok(!(await page.locator('#send-url').isVisible()));
  assert.ok(!(await page.locator('#send-csv').isVisible()));
  const table = await saved(page, 'send-measures-csv');
  assert.equal(table.name, 'footing-measures.csv');
  assert.equal(close(table.bytes.toString()), close(await measured([name], ['--csv'])));
  const document = await saved(page, 'send-measures-json');
  assert.equal(document.name, 'footing-measures.json');
  assert.equal(close(document.bytes.toString()), close(await measured([name], ['--json'])));
  const curves = await saved(page, 'send-curves');
  assert.equal(curves.name, 'footing-curves-harbour-range-before-1.csv');
  assert.equal(close(curves.bytes.toString()), close(await measured([name], ['--csv', '--series'])));
  assert.deepEqual(complaints, []);
  await done();
});

test('with two sets every recording has its row, in the order of the Tray, as the settings have them now', async () => {
  const { page, close: done } = await kit.open(stage.browser, stage.host.url);
  await kit.twoSets(page);
  await page.selectOption('#reference', 'combined-cop');
  await kit.settled(page);
  assert.equal(await page.innerText('#send-open'), 'Send…');
  await page.locator('#send-open').click();
  const names = await page.locator('.recording .name').allInnerTexts();
  assert.equal(names.length, 12);
  const about = ['--about', 'combined-cop'];
  assert.equal(close((await saved(page, 'send-measures-csv')).bytes.toString()), close(await measured(names, ['--csv', ...about])));
  assert.equal(close((await saved(page, 'send-measures-json')).bytes.toString()), close(await measured(names, ['--json', ...about])));
  await done();
});

/**
 * The charts as SVG: letters that are letters, nothing that needs anything beside it, and the same picture as the pixels.
 * @param {import('playwright-core').Page} page @param {PNG} pixels @param {string} name @param {string[]} words
 */
async function sameAsSvg(page, pixels, name, words) {
  const svg = await saved(page, 'send-svg');
  assert.equal(svg.name, name);
  const text = svg.bytes.toString();
  for (const word of words) assert.ok(text.includes(`>${word}</text>`), word);
  assert.doesNotMatch(text, /<image|href|<style|url\(|NaN|undefined/);
  const alone = await stage.browser.newPage({ viewport: { width: pixels.width, height: pixels.height } });
  await alone.setContent('<body style="margin: 0">');
  await alone.evaluate((source) => {
    const sheet = new DOMParser().parseFromString(source, 'image/svg+xml').documentElement;
    if (sheet.tagName !== 'svg') throw new Error(sheet.textContent ?? '');
    document.body.append(document.importNode(sheet, true));
  }, text);
  const drawn = PNG.sync.read(await alone.screenshot());
  await alone.close();
  assert.deepEqual([drawn.width, drawn.height], [pixels.width, pixels.height]);
  let [apart, inked] = [0, 0];
  for (let i = 0; i < drawn.data.length; i += 4) {
    const far = [0, 1, 2].some((k) => Math.abs(drawn.data[i + k] - pixels.data[i + k]) > 96);
    if (far) apart += 1;
    if (pixels.data[i + 1] < 160) inked += 1;
  }
  assert.ok(inked > 10_000 && apart < 0.01 * inked, `${apart} pixels are another, ${inked} have ink`);
}

test('the saved charts, as pixels and as lines, say whose they are and the day, and carry the events', async () => {
  const { page, close: done } = await kit.open(stage.browser, stage.host.url);
  await kit.twoSets(page);
  // What is written on the sheet, and where its upright lines stand, told by its own pen.
  await page.evaluate(() => {
    const told = /** @type {any} */ (window);
    told.words = [];
    told.lines = [];
    const pen = CanvasRenderingContext2D.prototype;
    const [write, line] = [pen.fillText, pen.lineTo];
    pen.fillText = function (text, x, y) {
      told.words.push(text);
      write.call(this, text, x, y);
    };
    pen.lineTo = function (x, y) {
      told.lines.push(Math.round(x));
      line.call(this, x, y);
    };
  });
  await page.locator('#send-open').click();
  await page.fill('#send-title-text', 'K-07, 7-iron');
  await kit.settled(page);
  await page.evaluate(() => Object.assign(window, { words: [], lines: [] }));
  const one = await saved(page, 'send-png');
  const told = await page.evaluate(() => ({ words: /** @type {any} */ (window).words, lines: /** @type {any} */ (window).lines }));
  assert.equal(one.name, 'footing-charts-harbour-range-before-1.png');
  for (const part of ['K-07, 7-iron', 'harbour-range-before-1.c3d', String(new Date().getFullYear()), 'left-handed', 'takeaway', 'impact', 'Plan view']) {
    assert.ok(told.words.some((/** @type {string} */ text) => text.includes(part)), `${part}: ${told.words}`);
  }
  const events = await page.locator('#marker-rail .marker:not([hidden])').count();
  const charts = await page.locator('#charts canvas:visible').count();
  assert.equal(new Set(told.lines).size, events);
  assert.equal(told.lines.length, events * charts);
  const picture = PNG.sync.read(one.bytes);
  const { width } = /** @type {{width: number}} */ (await page.locator('.chart-torque canvas').boundingBox());
  assert.ok(picture.width > width && picture.height > 600, `${picture.width} by ${picture.height}`);

  await sameAsSvg(page, picture, 'footing-charts-harbour-range-before-1.svg', ['K-07, 7-iron', 'address (est.)', 'Vertical torque, N·m, about the stance centre', 'body weight', 'plate 2']);

  await page.locator('#send-close').click();
  await page.getByRole('button', { name: 'A and B' }).click();
  await kit.settled(page);
  await page.locator('#send-open').click();
  await page.evaluate(() => Object.assign(window, { words: [], lines: [] }));
  const both = await saved(page, 'send-png');
  assert.equal(both.name, 'footing-charts-before-after.png');
  const words = await page.evaluate(() => /** @type {any} */ (window).words);
  assert.ok(words.includes('A, “before”: 6 swings; B, “after”: 6 swings'), String(words));
  await sameAsSvg(page, PNG.sync.read(both.bytes), 'footing-charts-before-after.svg', ['A, “before”: 6 swings; B, “after”: 6 swings', 'lead B']);
  await done();
});
