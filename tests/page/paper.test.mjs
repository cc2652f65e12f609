// Paper: what is given on to a player fits on one sheet of either size.

import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { promisify } from 'node:util';

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
