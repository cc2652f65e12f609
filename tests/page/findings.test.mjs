// Findings: what A and B come to, in sentences, a table and marks; swings set aside; files to keep.

import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

import * as kit from './kit.mjs';

const { onPage } = kit.suite();

const NUMBERS = [1, 2, 3, 4, 5, 6];

onPage('the numbers of the table and of its CSV are those the command computes from the same files', async (page) => {
  await kit.twoSets(page);
  const samples = (/** @type {string} */ set) => NUMBERS.map((i) => fileURLToPath(new URL(`../../samples/harbour-range-${set}-${i}.c3d`, import.meta.url)));
  const both = ['--a', ...samples('before'), '--b', ...samples('after'), '--handed', 'left'];
  const command = process.env.FOOTING;
  assert.ok(command, 'FOOTING names the command');
  const asked = async (/** @type {string[]} */ ...more) => JSON.parse((await promisify(execFile)(command, ['compare', ...both, ...more, '--json'], { maxBuffer: 1 << 26 })).stdout);
  // Numbers are as measured, sentences as a link holds them: a last digit may differ, and the page always tells what it could send.
  const expected = { ...(await asked()), sentences: (await asked('--link', page.url())).sentences };
  const rows = await page.locator('#findings tr[data-finding]').evaluateAll((all) =>
    all.map((tr) => ({ id: tr.getAttribute('data-finding') ?? '', verdict: tr.getAttribute('data-verdict') ?? '', cells: [...tr.querySelectorAll('td')].map((td) => td.textContent ?? '') })),
  );
  assert.ok(rows.length > 30, `${rows.length} rows`);
  const compared = rows.filter((row) => row.verdict !== 'absent');
  for (const { id, cells } of compared) {
    const measure = expected.measures[id];
    const digits = cells[0].split('.')[1]?.length ?? 0;
    // A link rounds means to a hundredth of their spread at most: sender and receiver read the same.
    const half = 0.51 * 10 ** -digits + 0.02 * (measure.spread ?? 0);
    for (const [i, value] of [measure.a.mean, measure.b.mean, measure.change].entries()) {
      assert.ok(Math.abs(kit.number(cells[i]) - value) <= half, `${id}: ${cells[i]} is ${value}`);
    }
    assert.ok(cells[6].startsWith(measure.verdict), `${id}: ${cells[6]}`);
  }
  assert.match(await page.innerText('#findings .counted'), new RegExp(`^${compared.length} measures read at once`));
  const sentences = [await page.innerText('#sentence'), ...(await page.locator('#sentences-more p').allInnerTexts())];
  assert.deepEqual(sentences, expected.sentences);

  await page.locator('#send-open').click();
  await page.fill('#send-base', page.url());
  await page.waitForFunction(() => /** @type {HTMLTextAreaElement} */ (document.querySelector('#send-url')).value.includes('#f1='));
  const [file] = await Promise.all([page.waitForEvent('download'), page.locator('#send-csv').click()]);
  assert.equal(file.suggestedFilename(), 'footing-comparison.csv');
  // Processors may differ in the last digits of a sine: all else is the same, letter by letter.
  const close = (/** @type {string} */ text) => text.replaceAll(/-?\d+\.\d{7,}(e-?\d+)?|-?\d+(\.\d+)?e-?\d+/g, (number) => Number(number).toPrecision(7));
  const { stdout: table } = await promisify(execFile)(command, ['compare', ...both, '--csv'], { maxBuffer: 1 << 26 });
  assert.equal(close(await readFile(await file.path(), 'utf8')), close(table));
  assert.match(table, /\r\ntorque_zero_cross_s,"Torque turns toward the target, time from top",s,6,/);
  const [json] = await Promise.all([page.waitForEvent('download'), page.locator('#send-json').click()]);
  const document = JSON.parse(await readFile(await json.path(), 'utf8'));
  assert.match(document.link, /#f1=/);
  // The command was given paths, and was not asked for a link.
  const alike = (/** @type {any} */ d) => JSON.parse(close(JSON.stringify({ ...d, link: null, sets: [d.sets.a, d.sets.b].map((set) => ({ ...set, files: set.files.length })) })));
  assert.deepEqual(alike(document), alike(expected));
  assert.equal(json.suggestedFilename(), 'footing-comparison.json');
});

onPage('the first sentence is the largest thing on the page, and the table is sorted by what changed', async (page) => {
  await kit.twoSets(page);
  const largest = await page.evaluate(() => {
    const size = (/** @type {Element} */ e) => parseFloat(getComputedStyle(e).fontSize);
    const all = [...document.querySelectorAll('body *')].filter((e) => e.getClientRects().length > 0 && [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent?.trim()));
    const most = Math.max(...all.map(size));
    return all.filter((e) => size(e) === most).map((e) => e.id);
  });
  assert.deepEqual(largest, ['sentence']);
  const order = ['clear', 'average', 'unsettled', 'ordinary', 'few', 'absent'];
  const verdicts = await page.locator('#findings tr[data-finding]').evaluateAll((all) => all.map((tr) => tr.getAttribute('data-verdict') ?? ''));
  const ranks = verdicts.map((v) => order.indexOf(v));
  assert.deepEqual(ranks, [...ranks].sort((a, b) => a - b));
  assert.equal(verdicts[0], 'clear');
});

onPage('a row opens its definition, formula, source and details; its picture has a dot for every swing', async (page) => {
  await kit.twoSets(page);
  const row = page.locator('tr[data-finding="torque_zero_cross_s"]');
  assert.equal(await row.locator('circle.of-a').count(), 6);
  assert.equal(await row.locator('rect.of-b').count(), 6);
  assert.match((await row.locator('svg').getAttribute('aria-label')) ?? '', /6 swings of A and 6 of B/);
  // The places of the dots follow the numbers: the swings of B cross zero earlier, so they lie further left.
  const mean = (/** @type {string} */ query, /** @type {string} */ name) =>
    row.locator(query).evaluateAll((all, key) => all.reduce((sum, e) => sum + Number(e.getAttribute(key)), 0) / all.length, name);
  assert.ok((await mean('rect.of-b', 'x')) < (await mean('circle.of-a', 'cx')));
  await row.getByRole('button').click();
  const more = page.locator('#finding-torque_zero_cross_s');
  const text = await more.innerText();
  for (const part of ['meaning', 'formula', 'source', 'permutation p', 'exact, 924 arrangements', 'Holm', 'Hedges g', 'lag-1 correlation', 'torque_zero_cross_s']) {
    assert.ok(text.includes(part), `${part} is missing: ${text}`);
  }
});

onPage('stretches in which the curves differ are marked under the chart where their seconds lie', async (page) => {
  await kit.twoSets(page);
  await page.getByRole('button', { name: 'A and B' }).click();
  await kit.settled(page);
  const said = await page.locator('.chart-torque .strip-say').innerText();
  assert.match(said, /B lies (above|below) A .*% of the swing, p\s\S+$/);
  assert.equal(await page.innerText('#findings-tested'), 'Every curve is tested by the largest |t| over all arrangements of the swings, 6 and 6 swings.');
  assert.doesNotMatch(await page.innerText('#findings-where'), /arrangements/, 'how is said once');
  assert.match(await page.innerText('#findings-where'), /p\s\S+\. Beside it random field theory, which takes the noise to be smooth and normal: B lies (above|below) A somewhere .*, p\s/);
  assert.match(await page.locator('#findings .comparison-notes').innerText(), /its ends are where the test is passed, not where the change begins or ends/);
  const frame = ((await page.locator('.chart-torque canvas').getAttribute('data-frame')) ?? '').split(' ').map(Number);
  const bars = await page.locator('.chart-torque .bar-mark').evaluateAll((all) => all.map((e) => ({ left: parseFloat(/** @type {HTMLElement} */ (e).style.left), width: parseFloat(/** @type {HTMLElement} */ (e).style.width) })));
  assert.ok(bars.length > 0);
  for (const { left, width } of bars) assert.ok(left >= frame[0] - 1 && left + width <= frame[1] + 1, `${left} + ${width} in ${frame}`);
  // By one stretch as a whole the nodes are others, and the page says so.
  await page.locator('#align-whole').click();
  await kit.settled(page);
  assert.match(await page.innerText('#findings-how'), /as one stretch/);
  assert.notEqual(await page.locator('.chart-torque .strip-say').innerText(), said);
});

onPage('a swing set aside with a reason changes n and the sentence; put back, everything is as before', async (page) => {
  await kit.twoSets(page);
  const sentences = () => page.locator('#reading').innerText();
  const [before, counted] = [await sentences(), await page.innerText('#findings .counted')];
  await page.getByRole('button', { name: 'Set aside… harbour-range-after-6.c3d' }).click();
  await page.getByLabel('Why harbour-range-after-6.c3d is set aside').fill('mishit');
  await page.keyboard.press('Enter');
  await page.waitForFunction((old) => document.querySelector('#findings .counted')?.textContent !== old, counted);
  await kit.settled(page);
  assert.match(await page.innerText('#findings .counted'), /A, before: 6 swings; B, after: 5 swings/);
  assert.match(await sentences(), /6 and 5 swings/);
  assert.match(await page.innerText('#recordings'), /Set aside: mishit/);
  const notes = await page.locator('#findings .comparison-notes').innerText();
  assert.match(notes, /1 of “?after”? set aside by hand/);
  assert.match(notes, /6 swings in “?before”?, 5 in “?after”?: the intervals .*allow for it/);
  assert.match(await page.innerText('#context'), /set A, before$/);
  await page.getByRole('button', { name: 'Put back harbour-range-after-6.c3d' }).click();
  await page.waitForFunction((old) => document.querySelector('#findings .counted')?.textContent === old, counted);
  await kit.settled(page);
  assert.equal(await sentences(), before);
});

onPage('swing by swing, a swing set aside takes its partner along and the page says so; unequal sets cannot be paired', async (page) => {
  await kit.twoSets(page);
  await page.locator('#design-paired').click();
  await page.waitForFunction(() => document.querySelector('#findings thead th:nth-child(5)')?.textContent?.endsWith('in pairs'));
  await page.locator('.recording .name', { hasText: 'before-2' }).click();
  await page.getByRole('button', { name: 'Set aside… harbour-range-before-2.c3d' }).click();
  await page.getByLabel('Why harbour-range-before-2.c3d is set aside').fill('mishit');
  await page.keyboard.press('Enter');
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('A, before: 5 swings; B, after: 5 swings'));
  await kit.settled(page);
  assert.match(await page.locator('#findings thead th').nth(4).innerText(), /in pairs$/);
  assert.match(await page.innerText('#findings-how'), /Left out because its partner does not count: harbour-range-after-2\.c3d\./);
  assert.match(await page.innerText('#context'), /set A, before, set aside$/);
  await page.getByRole('radiogroup', { name: 'Set of harbour-range-after-6.c3d' }).getByLabel('neither').check();
  await page.getByRole('radiogroup', { name: 'Set of harbour-range-after-5.c3d' }).getByLabel('neither').check();
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('B, after: 4 swings'));
  await kit.settled(page);
  assert.doesNotMatch(await page.locator('#findings thead th').nth(4).innerText(), /in pairs/);
  assert.match(await page.innerText('#findings-how'), /needs as many swings in A as in B; there are 5 and 4/);
  // An emptied label is the page's own again.
  await page.fill('#label-A', '');
  await page.waitForFunction(() => document.querySelector('#context')?.textContent?.endsWith('set A, before, set aside'));
});

onPage('when a comparison is refused, nothing of the last one stays, and no name of a file column is in the sentence', async (page) => {
  await kit.twoSets(page);
  await page.getByRole('button', { name: 'A and B' }).click();
  await kit.settled(page);
  assert.ok((await page.locator('.strip-say').count()) > 0);
  // The next comparison is answered as one that cannot be made.
  await page.evaluate(() => {
    const post = Worker.prototype.postMessage;
    Worker.prototype.postMessage = function (/** @type {any[]} */ ...args) {
      if (args[0].name !== 'compare') return Reflect.apply(post, this, args);
      const data = { call: args[0].call, problem: 'torque_nm: expected a number, got NaN; torque_max_nm: expected a number, got NaN' };
      setTimeout(() => this.dispatchEvent(new MessageEvent('message', { data })));
    };
  });
  await page.locator('#align-whole').click();
  await page.waitForSelector('#findings-problem:not([hidden])');
  await kit.settled(page);
  assert.equal(await page.innerText('#findings-problem'), 'A and B cannot be compared: the curve of torque: expected a number, got NaN; Highest torque: expected a number, got NaN.');
  for (const query of ['.strip-say', '#findings-where li']) assert.equal(await page.locator(query).count(), 0, query);
  assert.ok(await page.locator('#findings-place').isHidden());
  assert.ok(await page.locator('#findings-tested').isHidden());
  assert.match(await page.innerText('#kept-out-says'), /cannot be compared; under Findings is why/);
  assert.match(await page.innerText('#sentence'), /^The ground starts turning/, 'the headline is that of the recording');
});

onPage('swing by swing is another comparison, and says so', async (page) => {
  await kit.twoSets(page);
  const interval = () => page.locator('tr[data-finding="torque_zero_cross_s"] td').nth(3).innerText();
  const separate = await interval();
  await page.locator('#design-paired').click();
  await page.waitForFunction(() => document.querySelector('#design-paired[aria-pressed="true"]'));
  await kit.settled(page);
  assert.notEqual(await interval(), separate);
  await page.locator('tr[data-finding="torque_zero_cross_s"] button').click();
  assert.match(await page.locator('#finding-torque_zero_cross_s').innerText(), /paired t p/);
});

onPage('a recording that is there twice is told, under whatever name', async (page) => {
  await page.selectOption('#handed', 'left');
  const before = await Promise.all([1, 2, 3].map((i) => kit.sample(`harbour-range-before-${i}.c3d`)));
  const after = await Promise.all([1, 2, 3].map((i) => kit.sample(`harbour-range-after-${i}.c3d`)));
  await kit.drop(page, [...before, { name: 'again.c3d', bytes: before[1].bytes }, ...after]);
  await kit.ready(page, 7);
  for (const { name } of after) await page.locator('.recording', { hasText: name }).getByLabel('B', { exact: true }).evaluate((e) => /** @type {HTMLInputElement} */ (e).click());
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('B, after: 3 swings'));
  await kit.settled(page);
  assert.match(await page.locator('#findings .comparison-notes').innerText(), /One recording is counted 2 times, sample for sample the same: (harbour-range-before-2|again)\.c3d in “before”, (harbour-range-before-2|again)\.c3d in “before”\. .* too narrow/);
});

onPage('two swings against six are too few to say, and nothing on the page says more', async (page) => {
  await page.selectOption('#handed', 'left');
  const after = NUMBERS.map((i) => `harbour-range-after-${i}.c3d`);
  await kit.drop(page, await Promise.all(['harbour-range-before-1.c3d', 'harbour-range-before-2.c3d', ...after].map(kit.sample)));
  await kit.ready(page, 8);
  for (const name of after) await page.locator('.recording', { hasText: name }).getByLabel('B', { exact: true }).evaluate((e) => /** @type {HTMLInputElement} */ (e).click());
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('B, after: 6 swings'));
  await kit.settled(page);
  assert.match(await page.innerText('#sentence'), /^There are too few swings/);
  assert.match(await page.innerText('#sentences-more'), /With 2 and 6 swings it cannot be said when in the swing/);
  const verdicts = new Set(await page.locator('#findings tr[data-finding]').evaluateAll((all) => all.map((tr) => tr.getAttribute('data-verdict'))));
  assert.deepEqual([...verdicts].sort(), ['absent', 'few']);
  const notes = await page.locator('#findings .comparison-notes').innerText();
  assert.match(notes, /at least three a side are needed/);
  assert.doesNotMatch(notes, /Holm/);
  assert.doesNotMatch(await page.innerText('#findings-where'), /B lies/);
  await page.getByRole('button', { name: 'A and B' }).click();
  await kit.settled(page);
  assert.match(await page.locator('.chart-torque .strip-say').innerText(), /three a side are the least/);
  assert.equal(await page.locator('.bar-mark').count(), 0, 'no stretch is marked');
});

onPage('a swing far from the others of its set is named by its place and its file', async (page) => {
  await page.selectOption('#handed', 'left');
  const names = ['before-1', 'before-2', 'before-3', 'before-4', 'before-5', 'after-6', 'after-1', 'after-2', 'after-3'].map((name) => `harbour-range-${name}.c3d`);
  await kit.drop(page, await Promise.all(names.map(kit.sample)));
  await kit.ready(page, 9);
  for (const name of names.slice(6)) await page.locator('.recording', { hasText: name }).getByLabel('B', { exact: true }).evaluate((e) => /** @type {HTMLInputElement} */ (e).click());
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('B, after: 3 swings'));
  await kit.settled(page);
  const place = (await page.locator('.recording .name').allInnerTexts()).findIndex((name) => name.includes('after-6')) + 1;
  const notes = await page.locator('#findings .comparison-notes').innerText();
  assert.match(notes, new RegExp(`Worth a second look.*: swing ${place} of A \\(harbour-range-after-6\\.c3d\\): .* lies far from the others`));
});

onPage('a label typed by the coach is in the sentence, the table and the notes', async (page) => {
  await kit.twoSets(page);
  await page.fill('#label-B', 'step-in');
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('B, step-in: 6 swings'));
  await kit.settled(page);
  assert.match(await page.innerText('#sentence'), /in “step-in” .*than in “before”/);
  assert.equal(await page.locator('#findings thead th').nth(2).innerText(), 'B, step-in');
});
