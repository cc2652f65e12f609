// Everybody, everywhere: accessibility rules, small screens, night, paper, forced colours.

import assert from 'node:assert/strict';
import { test } from 'node:test';

import * as kit from './kit.mjs';

const stage = kit.suite();

/** @param {import('playwright-core').Page} page */
async function samples(page) {
  await page.getByRole('button', { name: 'Open the sample swings' }).click();
  await kit.ready(page, 12);
  // The sentence of the comparison is the last to come.
  await page.waitForSelector('#findings:not([hidden])');
  await kit.settled(page);
}

/** @param {import('playwright-core').Page} page */
const overflow = (page) => page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);

/** @type {[string, import('playwright-core').BrowserContextOptions][]} */
const SCREENS = [
  ['a wide screen', {}],
  ['a wide screen at night', { colorScheme: 'dark' }],
  ['a phone of 320 pixels', { viewport: { width: 320, height: 640 }, hasTouch: true, isMobile: true }],
  ['4K', { viewport: { width: 3840, height: 2160 } }],
];

for (const [screen, options] of SCREENS) {
  test(`on ${screen} no state breaks a rule of accessibility or the width`, async () => {
    const { page, close } = await kit.open(stage.browser, stage.host.url, options);
    await kit.reachable(page, 'empty');
    assert.ok((await overflow(page)) <= 0, 'empty');
    await samples(page);
    await kit.reachable(page, 'a recording');
    assert.ok((await overflow(page)) <= 0, 'a recording');
    for (const summary of await page.locator('#bench summary:visible').all()) await summary.click();
    await page.locator('.measure').first().click();
    await kit.drop(page, [kit.written('letter.txt', 'Dear coach')]);
    await kit.settled(page);
    await kit.reachable(page, 'tables, a definition and a refusal open');
    assert.ok((await overflow(page)) <= 0, 'tables open');
    await page.getByRole('button', { name: 'A and B' }).click();
    await kit.settled(page);
    await kit.reachable(page, 'two sets');
    assert.ok((await overflow(page)) <= 0, 'two sets');
    await page.locator('#keys-open').click();
    await kit.reachable(page, 'key sheet');
    await close();
  });
}

for (const [screen, options] of /** @type {[string, import('playwright-core').BrowserContextOptions][]} */ ([
  ['a phone', { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true }],
  ['a screen at 200 %', { viewport: { width: 720, height: 450 } }],
])) {
  test(`on ${screen} the Tray is a line on top, then come the sentence, the pictures and the measures; the keys go the same way`, async () => {
    const { page, close } = await kit.open(stage.browser, stage.host.url, options);
    assert.ok(await page.locator('#sample').isVisible(), 'the ways in are open while nothing is there');
    await samples(page);
    const tops = await page.evaluate(() =>
      ['#tray', '#settings', '#sentence', '.chart-torque canvas', '#plan', '#findings', '#measures', '#care'].map(
        (query) => document.querySelector(query)?.getBoundingClientRect().top ?? NaN,
      ),
    );
    assert.deepEqual(tops, [...tops].sort((a, b) => a - b));
    const sentence = await page.locator('#sentence').boundingBox();
    assert.ok(sentence && sentence.y < 260, `the sentence is seen at once: ${sentence?.y}`);
    assert.equal(await page.innerText('#tray-fold'), '12 recordings');
    assert.ok(await page.locator('#recordings').isHidden());
    // Nothing is jumped over and back: the focus only goes down the page, but for what stands side by side.
    const walk = async () => {
      await page.locator('.skip').focus();
      const seen = new Set();
      let [last, name] = [-Infinity, 'nothing'];
      for (let i = 0; i < 400; i += 1) {
        await page.keyboard.press('Tab');
        const here = await page.evaluate(() => {
          const e = document.activeElement;
          if (!e || e === document.body || e.classList.contains('skip')) return null;
          const { top, height } = e.getBoundingClientRect();
          return { name: e.id || e.getAttribute('aria-label') || e.textContent?.slice(0, 30) || e.tagName, middle: top + height / 2 + window.scrollY };
        });
        if (!here) {
          if (seen.size > 0) break;
          continue;
        }
        assert.ok(here.middle > last - 60, `${here.name} at ${here.middle} comes after ${name} at ${last}`);
        [last, name] = [here.middle, here.name];
        seen.add(here.name);
      }
      return seen;
    };
    const folded = await walk();
    for (const id of ['tray-fold', 'settings-fold', 'cursor', 'design-paired', 'measures-all']) assert.ok(folded.has(id), `${id}: ${[...folded].join(', ')}`);
    assert.ok(!folded.has('browse'), 'what is folded takes no key');
    await kit.unfold(page);
    assert.ok(await page.locator('#recordings').isVisible());
    const open = await walk();
    for (const id of ['browse', 'undo', 'label-A', 'handed', 'cursor']) assert.ok(open.has(id), `${id}: ${[...open].join(', ')}`);
    const small = await page.locator('button:visible, select:visible, summary:visible').evaluateAll((all) =>
      all.filter((e) => e.getBoundingClientRect().height < 24).map((e) => e.outerHTML.slice(0, 80)),
    );
    assert.deepEqual(small, [], 'nothing to touch is lower than 24 pixels');
    await kit.reachable(page, 'unfolded');
    await close();
  });

  test(`on ${screen} refused files and stops are told on top, and long tables begin with ten rows`, async () => {
    const { page, close } = await kit.open(stage.browser, stage.host.url, options);
    await kit.drop(page, [await kit.sample('harbour-range-before-1.c3d'), kit.written('letter.txt', 'Dear coach,\nthe plates are fine.\n')]);
    await kit.ready(page, 1);
    assert.equal(await page.innerText('#tray-fold'), '1 recording, 1 with notes, 1 kept out');
    const refusal = await page.locator('#refused li').boundingBox();
    assert.ok(refusal && refusal.y < 300, `seen without opening anything: ${refusal?.y}`);
    await page.locator('#tray-fold').click();
    assert.match(await page.locator('.recording .notes').innerText(), /Stop/);
    await page.locator('#tray-fold').click();
    assert.ok(await page.locator('#recordings').isHidden());
    await close();
    const again = await kit.open(stage.browser, stage.host.url, options);
    await samples(again.page);
    for (const [rows, button] of [['#findings tr[data-finding]', '#findings .show-all'], ['#measures tr[data-measure]', '#measures .show-all']]) {
      const all = await again.page.locator(rows).count();
      assert.ok(all > 30);
      assert.equal(await again.page.locator(`${rows}:visible`).count(), 10);
      assert.equal(await again.page.locator(button).innerText(), `Show all ${all} measures`);
      await again.page.locator(button).click();
      assert.equal(await again.page.locator(`${rows}:visible`).count(), all);
      assert.ok(await again.page.locator(rows).nth(10).getByRole('button').evaluate((e) => e === document.activeElement), 'the focus goes to the first that came');
    }
    // An interval stands in one line.
    const tall = await again.page.locator('#findings td.whole:visible').evaluateAll((all) => all.map((e) => e.getBoundingClientRect().height / parseFloat(getComputedStyle(e).lineHeight)));
    assert.ok(tall.length > 30 && Math.max(...tall) < 1.6, String(Math.max(...tall)));
    assert.ok((await overflow(again.page)) <= 0);
    await again.close();
  });
}

test('in A and B nothing under a chart or at its end is cut off', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url, { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
  await samples(page);
  await page.getByRole('button', { name: 'A and B' }).click();
  await kit.settled(page);
  const cut = await page.locator('#bench .sentence-small, #bench .strip-say').evaluateAll((all) =>
    all.filter((e) => e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1 || getComputedStyle(e).textOverflow === 'ellipsis').map((e) => e.textContent),
  );
  assert.deepEqual(cut, []);
  // No line ends between a number and its unit.
  const parted = await page.locator('#bench .sentence-small, #bench .strip-say').evaluateAll((all) => all.flatMap((e) => (e.textContent ?? '').match(/\d (N·m|N|s|mm|%)(?![a-z])/g) ?? []));
  assert.deepEqual(parted, []);
  // Words that reach the edge of the sheet are cut by it: the last two columns of pixels are ground.
  for (const chart of ['torque', 'shear', 'vertical', 'angle']) {
    const inked = await page.locator(`.chart-${chart} canvas`).evaluate((c) => {
      const canvas = /** @type {HTMLCanvasElement} */ (c);
      const data = canvas.getContext('2d')?.getImageData(canvas.width - 2, 0, 2, canvas.height).data ?? [];
      let count = 0;
      for (let i = 0; i < data.length; i += 4) if (data[i] < 200) count += 1;
      return count;
    });
    assert.equal(inked, 0, chart);
  }
  await close();
});

/** Area of what is drawn in a colour, and the canvas in its own and in the page's pixels. @param {import('playwright-core').Page} page @param {string} query @param {string} colour */
const inked = async (page, query, colour) => ({
  area: await kit.pixels(page, query, colour, 24),
  ...(await page.locator(query).evaluate((e) => {
    const { width, height, clientWidth, clientHeight } = /** @type {HTMLCanvasElement} */ (e);
    return { width, height, clientWidth, clientHeight };
  })),
});

test('on a screen of twice the density the charts have every pixel and lines keep their width; on 4K letters and charts grow', async () => {
  const INK = '#1f1b16';
  const PICTURES = /** @type {[string, string][]} */ ([['.chart-torque canvas', INK], ['.chart-shear canvas', kit.LEAD], ['.chart-vertical canvas', kit.LEAD], ['.chart-angle canvas', INK], ['#plan', kit.LEAD]]);
  const seen = async (/** @type {import('playwright-core').BrowserContextOptions} */ options) => {
    const { page, close } = await kit.open(stage.browser, stage.host.url, options);
    await page.selectOption('#handed', 'left');
    await kit.drop(page, [await kit.sample('harbour-range-before-1.c3d')]);
    await kit.ready(page, 1);
    const pictures = [];
    for (const [query, colour] of PICTURES) pictures.push({ query, ...(await inked(page, query, colour)) });
    const rem = await page.evaluate(() => parseFloat(getComputedStyle(document.documentElement).fontSize));
    // Letters in a line of running text.
    const line = await page.locator('#lead-in, #care p').last().evaluate((e) => e.clientWidth / (0.5 * parseFloat(getComputedStyle(e).fontSize)));
    await close();
    return { pictures, rem, line };
  };
  const [plain, dense, wide] = [await seen({}), await seen({ deviceScaleFactor: 2 }), await seen({ viewport: { width: 3840, height: 2160 } })];
  for (const [i, one] of plain.pictures.entries()) {
    const two = dense.pictures[i];
    assert.equal(two.clientWidth, one.clientWidth);
    assert.ok(Math.abs(two.width - 2 * two.clientWidth) <= 1 && Math.abs(two.height - 2 * two.clientHeight) <= 1, `${one.query}: ${JSON.stringify(two)}`);
    assert.ok(one.area > 200, `${one.query} is drawn: ${one.area} pixels`);
    // Twice as long and twice as wide; finer edges add to what has the full colour. A line left at its width would have twice the area.
    const times = two.area / one.area;
    assert.ok(times > 3.3 && times < 7, `${one.query}: ${times} times the area`);
  }
  assert.equal(dense.rem, plain.rem);
  assert.ok(wide.rem > 1.4 * plain.rem, `letters of ${wide.rem} pixels`);
  for (const [i, one] of plain.pictures.entries()) assert.ok(wide.pictures[i].clientWidth > 1.8 * one.clientWidth, `${one.query} on 4K`);
  for (const { line } of [plain, wide]) assert.ok(line < 130, `${line} letters in a line`);
});

test('the theme has three states and the charts follow it', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url, { colorScheme: 'dark' });
  await samples(page);
  const ground = () => kit.pixels(page, '#plan', '#1b1815');
  assert.ok((await ground()) > 10_000, 'as the system: night');
  await page.selectOption('#theme', 'light');
  await kit.settled(page);
  assert.equal(await ground(), 0);
  assert.ok((await kit.pixels(page, '#plan', '#fbf8f1')) > 10_000);
  await page.selectOption('#theme', 'system');
  await kit.settled(page);
  assert.ok((await ground()) > 10_000);
  await close();
});

test('with forced colours line and marker alone tell the feet apart', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url, { forcedColors: 'active' });
  await samples(page);
  assert.equal(await kit.pixels(page, '.chart-shear canvas', kit.LEAD), 0);
  assert.ok((await kit.pixels(page, '.chart-shear canvas', '#000000')) > 300);
  // A transparent border would be drawn in ink: the bar is that of the selected recording alone.
  const bars = await page.locator('.recording').evaluateAll((all) => all.map((e) => getComputedStyle(e).borderLeftColor));
  assert.equal(new Set(bars.slice(1)).size, 1);
  assert.notEqual(bars[0], bars[1]);
  assert.equal(bars[1], await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor));
  const chip = await page.locator('#cursor').evaluate((e) => [getComputedStyle(e).borderTopWidth, getComputedStyle(e).borderTopColor]);
  assert.equal(chip[0], '1px');
  assert.notEqual(chip[1], bars[1]);
  await close();
});

test('on paper the charts are drawn, sharp, on white, and the measures are there', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url, { colorScheme: 'dark' });
  await samples(page);
  await page.emulateMedia({ media: 'print', colorScheme: 'light' });
  await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
  for (const canvas of ['.chart-torque canvas', '.chart-shear canvas', '#plan']) {
    const fine = await page.locator(canvas).evaluate((c) => /** @type {HTMLCanvasElement} */ (c).width / c.clientWidth);
    assert.ok(fine >= 2.9, `${canvas} has three pixels for each of the page's: ${fine}`);
    assert.ok((await kit.pixels(page, canvas, '#ffffff')) > 10_000, `${canvas} on white`);
  }
  assert.ok((await kit.pixels(page, '.chart-torque canvas', kit.TOWARD)) > 5000);
  // The browser lays paper out after the last word of the page: nothing may depend on the window's width.
  const places = () =>
    page.evaluate(() => {
      const box = (/** @type {string} */ name) => /** @type {Element} */ (document.querySelector(name)).getBoundingClientRect();
      const canvas = /** @type {HTMLCanvasElement} */ (document.querySelector('.chart-torque canvas'));
      const [rail, impact] = ['.marker-rail', '.chart-torque'].map((within) => box(`${within} .marker[data-event="impact"] .stem`));
      const [last, own] = ['canvas', '.on-paper .marker[data-event="impact"] .stem'].map((name) => box(`.chart-angle ${name}`));
      return {
        wide: canvas.clientWidth,
        plan: box('#plan').width,
        impact: impact.left - box('.chart-torque canvas').left,
        above: rail.bottom - box('#charts').top,
        below: own.bottom - last.bottom,
      };
    });
  const here = await places();
  const frame = (await page.locator('.chart-torque canvas').getAttribute('data-frame'))?.split(' ').map(Number) ?? [];
  const rem = await page.evaluate(() => parseFloat(getComputedStyle(document.documentElement).fontSize) / 16);
  assert.ok(here.impact > frame[0] * rem && here.impact < frame[1] * rem, `impact at ${here.impact} in ${frame}`);
  assert.ok(Math.abs(here.above) < 2, `the events' lines come down to the charts: ${here.above}`);
  assert.ok(Math.abs(here.below) < 2, `and end with each: ${here.below}`);
  await page.setViewportSize({ width: 700, height: 1000 });
  const there = await places();
  for (const [name, value] of Object.entries(here)) assert.ok(Math.abs(value - there[/** @type {keyof typeof there} */ (name)]) < 1, `${name}: ${value} and ${JSON.stringify(there)}`);
  await page.setViewportSize({ width: 1440, height: 900 });
  assert.ok(await page.locator('#measures-table').isVisible());
  assert.ok(await page.locator('#sentence').isVisible());
  assert.ok(!(await page.locator('#browse').isVisible()), 'no controls on paper');
  await page.evaluate(() => window.dispatchEvent(new Event('afterprint')));
  await page.emulateMedia({ media: null, colorScheme: 'dark' });
  await kit.settled(page);
  assert.ok((await kit.pixels(page, '#plan', '#1b1815')) > 10_000, 'and back to the night after printing');
  await close();
});

test('keys alone reach everything: the skip link comes first, every control has a visible focus', async () => {
  const { page, close } = await kit.open(stage.browser, stage.host.url);
  await samples(page);
  await page.evaluate(() => /** @type {HTMLElement} */ (document.activeElement)?.blur());
  await page.locator('body').focus();
  await page.evaluate(() => window.getSelection()?.collapse(document.body, 0));
  const seen = new Set();
  for (let i = 0; i < 420; i += 1) {
    await page.keyboard.press('Tab');
    const here = await page.evaluate(() => {
      const e = document.activeElement;
      if (!e || e === document.body) return null;
      const { outlineStyle, outlineWidth } = getComputedStyle(e);
      return { name: e.id || e.getAttribute('aria-label') || e.textContent?.slice(0, 30) || e.tagName, ring: outlineStyle !== 'none' && outlineWidth !== '0px' };
    });
    if (!here) continue;
    assert.ok(here.ring, `${here.name} shows no focus`);
    seen.add(here.name);
  }
  for (const name of ['browse', 'theme', 'cursor', 'takeaway', 'top', 'impact', 'show-sets', 'Net impulse', 'keys-open']) {
    assert.ok(seen.has(name), `${name} is not reached: ${[...seen].join(', ')}`);
  }
  await close();
});
