// Paper: what is given on to a player fits on one sheet of either size, and what is printed over a picture stands where it belongs.

import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { promisify } from 'node:util';
import { inflateSync } from 'node:zlib';

import * as kit from './kit.mjs';

const stage = kit.suite();

const run = promisify(execFile);
const samples = fileURLToPath(new URL('../../samples/', import.meta.url));

let folder = '';

before(async () => {
  folder = await mkdtemp(join(tmpdir(), 'footing-paper-'));
});

after(async () => {
  await rm(folder, { recursive: true });
});

/** Sheets of a PDF as the browser writes it, whose page objects lie open. @param {Buffer} pdf */
const sheets = (pdf) => (pdf.toString('latin1').match(/\/Type\s*\/Page\b/g) ?? []).length;

/** Two sets of six and words as long as they may be. */
async function compared() {
  const command = process.env.FOOTING;
  assert.ok(command, 'FOOTING names the command');
  const six = (/** @type {string} */ set) => [1, 2, 3, 4, 5, 6].map((i) => join(samples, `harbour-range-${set}-${i}.c3d`));
  const report = join(folder, 'report.html');
  const words = ['--title', 'Title '.repeat(10).slice(0, 59), '--cue', 'press the lead heel '.repeat(7).slice(0, 139)];
  const { stdout } = await run(command, ['compare', '--a', ...six('before'), '--b', ...six('after'), '--handed', 'left', '--link', 'https://footing.example/', ...words, '--report', report]);
  const [link] = stdout.match(/https:\/\/footing\.example\/#f\S+/) ?? [];
  assert.ok(link, stdout);
  return { report, fragment: link.slice(link.indexOf('#')) };
}

test('the received page and the command’s report are one sheet each, A4 and Letter', async () => {
  const { report, fragment } = await compared();
  const received = await kit.open(stage.browser, stage.host.url + fragment);
  await received.page.waitForSelector('#received-found:not([hidden])');
  await kit.settled(received.page);
  const printed = await kit.open(stage.browser, pathToFileURL(report).href, {}, false);
  for (const format of ['A4', 'Letter']) {
    assert.equal(sheets(await received.page.pdf({ format })), 1, `the received page on ${format}`);
    assert.equal(sheets(await printed.page.pdf({ format })), 1, `the report on ${format}`);
  }
  assert.equal(sheets(await printed.page.pdf({ preferCSSPageSize: true })), 1, 'the report on the size it asks for');
  // Whoever looks closer prints that too.
  await received.page.locator('#received-closer > summary').click();
  await kit.settled(received.page);
  assert.ok(sheets(await received.page.pdf({ format: 'A4' })) > 1);
  assert.deepEqual([...received.complaints, ...printed.complaints], []);
  await Promise.all([received.close(), printed.close()]);
});

/** @typedef {{x: number, y: number, w: number, h: number}} Box */
/** @typedef {{box: Box, filled: Box, level: Box}} Picture where it belongs, what it covers, and the longest level line of it */

/** Pixels of the page on paper in one of the units that the browser prints in. */
const UNIT_PX = 3.125;

/**
 * What lies on each sheet: its pictures, each a canvas printed at a scale of its own, and the upright lines over them.
 * @param {Buffer} pdf @returns {{pictures: Picture[], lines: Box[]}[]}
 */
function onPaper(pdf) {
  const sheet = [];
  for (let at = pdf.indexOf('stream\n'); at >= 0; at = pdf.indexOf('stream\n', at + 1)) {
    let text = '';
    try {
      text = inflateSync(pdf.subarray(at + 7)).toString('latin1');
    } catch {
      continue;
    }
    if (!/^\.24|^\.2399/.test(text)) continue;
    const [pictures, lines, kept] = [/** @type {Picture[]} */ ([]), /** @type {Box[]} */ ([]), /** @type {[number, number, number][]} */ ([])];
    let [by, left, top] = [1, 0, 0];
    let box = /** @type {Box | null} */ (null);
    let open = /** @type {Picture | null} */ (null);
    const rows = text.split('\n').slice(1);
    for (const [i, row] of rows.entries()) {
      const [a, b, c, d, e, f] = row.split(' ').map(Number);
      if (row === 'q') kept.push([by, left, top]);
      else if (row === 'Q') [by, left, top] = kept.pop() ?? [1, 0, 0];
      else if (row.endsWith(' cm')) {
        [by, left, top] = [by * a, left + by * e, top + by * f];
        open = null;
        if (Math.abs(by - UNIT_PX) > 1e-6) box = clip(rows, i);
      } else if (row.endsWith(' re') && !rows[i + 1].startsWith('W')) {
        const rect = { x: (left + by * a) / UNIT_PX, y: (top + by * b) / UNIT_PX, w: (by * c) / UNIT_PX, h: (by * d) / UNIT_PX };
        if (Math.abs(by - UNIT_PX) < 1e-6) {
          if (c === 1 && d > 20) lines.push(rect);
        } else if (!open && box) pictures.push((open = { box, filled: rect, level: { x: 0, y: 0, w: 0, h: 0 } }));
        else if (open && rect.h < 1 && rect.w > open.level.w) open.level = rect;
      }
    }
    sheet.push({ pictures, lines });
  }
  return sheet;
}

/** The box that a picture is cut to. @param {string[]} rows @param {number} before */
function clip(rows, before) {
  const row = rows.slice(0, before).findLast((r) => r.endsWith(' re')) ?? '';
  const [x, y, w, h] = row.split(' ').map((n) => Number(n) / UNIT_PX);
  return { x, y, w, h };
}

/** The instants that are not estimated, and the part of the time axis that is shown. @param {import('playwright-core').Page} page */
const instants = (page) =>
  page.evaluate(() => {
    const cursor = document.querySelector('#cursor');
    const [from, to] = ['min', 'max'].map((end) => Number(cursor?.getAttribute(`aria-value${end}`)));
    const events = [...document.querySelectorAll('.marker:not([hidden], [data-source="estimated"]) .handle')].map((e) => Number(e.getAttribute('aria-valuenow')));
    return { from, to, events };
  });

stage.onPage('printed pictures fill their boxes, and the events stand at their seconds', async (page) => {
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await kit.sample('harbour-range-before-1.c3d')]);
  await kit.ready(page, 1);
  const { from, to, events } = await instants(page);
  assert.equal(events.length, 3);
  for (const format of ['A4', 'Letter']) {
    const [{ pictures, lines }] = onPaper(await page.pdf({ format }));
    assert.equal(pictures.length, 5, 'four charts and the feet');
    for (const { box, filled } of pictures) {
      assert.ok(Math.abs(filled.w - box.w) < 0.5, `a picture ${filled.w} wide for a box of ${box.w}, ${format}`);
      assert.ok(Math.abs(filled.h - box.h) < 1.5, `a picture ${filled.h} high for a box of ${box.h}, ${format}`);
    }
    for (const { level } of pictures.filter((p) => p.level.w > 300)) {
      for (const t of events) {
        const x = level.x + ((t - from) / (to - from)) * level.w;
        // Lines are printed on whole pixels.
        assert.ok(lines.some((line) => Math.abs(line.x - x) <= 0.75), `${t} s is at ${x}, lines at ${lines.map((line) => line.x)}, ${format}`);
      }
    }
  }
});

stage.onPage('each chart of A and B carries its own lines, also where a sheet ends between two', async (page) => {
  await page.click('#sample');
  await kit.ready(page, 12);
  await page.click('#show-sets');
  await kit.settled(page);
  const { from, to } = await instants(page);
  for (const format of ['A4', 'Letter']) {
    const sheets = onPaper(await page.pdf({ format }));
    const charts = sheets.map(({ pictures }) => pictures.filter((p) => p.level.w > 300));
    assert.deepEqual([charts.flat().length, charts[0].length], [4, 3], `the fourth chart is on the second sheet of ${format}`);
    for (const [i, { lines }] of sheets.entries()) {
      for (const [k, { box, level }] of charts[i].entries()) {
        const top = level.x - (from / (to - from)) * level.w;
        const whole = lines.filter((line) => line.y <= box.y + 1 && line.y + line.h >= box.y + box.h - 1);
        assert.ok(whole.some((line) => Math.abs(line.x - top) <= 0.75), `the line of the top over the whole of chart ${k + 1} of sheet ${i + 1}, ${format}`);
      }
      const last = charts[i].at(-1)?.box;
      const over = lines.filter((line) => last && line.x < last.x + last.w && line.y + line.h > last.y + last.h + 2);
      assert.deepEqual(over, [], `no line below the charts of sheet ${i + 1}, ${format}`);
    }
  }
  // The sheet's own lines are gone again.
  assert.equal(await page.locator('.on-paper').count(), 0);
});
