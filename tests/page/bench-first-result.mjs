// How long from the drop of a 10 s, 1000 Hz, two-plate table to the first result on screen.
//
// The yardstick is measured in the same page on the same bytes: decoding the text, splitting it at
// line ends and commas, and turning every cell into a number, the way a page without wasm would
// read it. That is only reading; the first result also holds the analysis and the drawing.
//
// FOOTING_BENCH names the folder with bench.csv and bench.rig.json; prints `name ⇥ value ⇥ unit`.

import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { chromium } from 'playwright-core';

const FRESH_PAGES = 7;
const { FOOTING_URL: url, FOOTING_BENCH: folder, FOOTING_CHROMIUM: executablePath } = process.env;
if (!url || !folder || !executablePath) {
  throw new Error('expected FOOTING_URL, FOOTING_BENCH and FOOTING_CHROMIUM: start this by `cargo xtask bench`');
}
const files = await Promise.all(
  ['bench.rig.json', 'bench.csv'].map(async (name) => ({ name, text: await readFile(join(folder, name), 'utf8') })),
);

const median = (values) => values.toSorted((a, b) => a - b)[values.length >> 1];

/** Runs in the page. */
async function yardstick(dropped) {
  const bytes = new TextEncoder().encode(dropped.at(-1).text);
  const start = performance.now();
  const rows = new TextDecoder().decode(bytes).split('\n').map((line) => line.split(',').map(Number));
  const taken = performance.now() - start;
  if (rows.length < 10_000) throw new Error(`the bench's table has only ${rows.length} lines`);
  return taken;
}

/** Runs in the page: drops the files and waits until one more recording's result was painted. */
async function firstResult(dropped) {
  const before = document.querySelectorAll('#recordings > li').length;
  const data = new DataTransfer();
  for (const { name, text } of dropped) data.items.add(new File([text], name));
  const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  const start = performance.now();
  document.body.dispatchEvent(new DragEvent('drop', { dataTransfer: data, bubbles: true, cancelable: true }));
  for (;;) {
    await painted();
    const refused = document.querySelector('#refused > li');
    if (refused) throw new Error(`refused: ${refused.textContent}`);
    const listed = document.querySelectorAll('#recordings > li').length > before;
    const idle = document.querySelector('#busy').hidden;
    const measured = document.querySelectorAll('#measures-body > tr').length > 0;
    if (listed && idle && measured && !document.querySelector('#bench').hidden) break;
    if (performance.now() - start > 20_000) throw new Error('no result within 20 s');
  }
  await painted();
  return performance.now() - start;
}

const browser = await chromium.launch({
  executablePath,
  args: ['--no-sandbox', '--disable-quic', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
});
const taken = { ready: [], first: [], again: [], yardstick: [] };
try {
  for (let i = 0; i < FRESH_PAGES; i += 1) {
    const context = await browser.newContext();
    const page = await context.newPage();
    const start = performance.now();
    await page.goto(url);
    await page.waitForSelector('html[data-ready]', { state: 'attached' });
    taken.ready.push(performance.now() - start);
    taken.first.push(await page.evaluate(firstResult, files));
    taken.again.push(await page.evaluate(firstResult, files));
    taken.yardstick.push(await page.evaluate(yardstick, files));
    await context.close();
  }
} finally {
  await browser.close();
}

const megabytes = files.at(-1).text.length / 1e6;
const rows = [
  [`page opened, ready for files`, median(taken.ready), 'ms'],
  [`first result of a fresh page (${megabytes.toFixed(1)} MB table)`, median(taken.first), 'ms'],
  ['the same file dropped again', median(taken.again), 'ms'],
  ['yardstick: plain split and Number', median(taken.yardstick), 'ms'],
  ['first result / yardstick', median(taken.first) / median(taken.yardstick), '×'],
  ['dropped again / yardstick', median(taken.again) / median(taken.yardstick), '×'],
];
for (const row of rows) console.log(row.join('\t'));
