// The coach's whole job in a real browser: drop, look, drag, compare.

import assert from 'node:assert/strict';

import * as kit from './kit.mjs';

const { onPage } = kit.suite();

const FOUR = ['harbour-range-before-1.c3d', 'harbour-range-before-2.c3d', 'harbour-range-after-1.csv', 'harbour-range-after-2.csv'];

/** Two C3D files, two tables and their rig. */
const four = () => Promise.all([...FOUR, 'harbour-range.rig.json'].map(kit.sample));

/** @param {import('playwright-core').Page} page */
async function dropFour(page) {
  await kit.unfold(page);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, await four());
  await kit.ready(page, 4);
}

onPage('dropped C3D files and tables show the measures of the truth they were simulated from', async (page) => {
  await dropFour(page);
  // The truth is closed-form; the sample carries noise and a 50 Hz filter: a few per cent.
  const tolerances = { torque_min_nm: 1.5, torque_max_nm: 1.5, torque_at_top_nm: 1.5, torque_zero_cross_s: 0.006, impulse_net_nms: 0.35, lead_share_at_top: 0.02, cop_angle_at_top_deg: 0.5, tempo_ratio: 0.03, body_mass_kg: 0.3 };
  const { measures } = await kit.truth('harbour-range-before-1');
  for (const [id, tolerance] of Object.entries(tolerances)) {
    const expected = measures['stance-centre'][id];
    const got = await kit.measured(page, id);
    assert.ok(Math.abs(got - expected) <= tolerance, `${id}: expected ${expected}, the page shows ${got}`);
  }
  assert.match(await page.innerText('#sentence'), /back toward the target 16\d ms before the top/);
  assert.match(await page.innerText('#rig'), /harbour-range\.rig\.json/);
});

onPage('the charts show the curves: their readings and their pixels', async (page) => {
  await dropFour(page);
  const { measures, events } = await kit.truth('harbour-range-before-1');
  const atTop = await kit.underCursor(page, 'torque', 'torque');
  assert.ok(Math.abs(atTop - measures['stance-centre'].torque_at_top_nm) < 1.5, `the cursor starts at the top: ${atTop} N·m`);
  assert.ok((await kit.pixels(page, '.chart-torque canvas', kit.TOWARD)) > 2000, 'the area toward the target is filled');
  assert.ok((await kit.pixels(page, '.chart-torque canvas', kit.AWAY, 24)) > 100, 'the area away from the target is hatched');
  for (const chart of ['.chart-shear canvas', '.chart-vertical canvas', '#plan']) {
    assert.ok((await kit.pixels(page, chart, kit.LEAD)) > 30, `${chart} shows the lead foot`);
    assert.ok((await kit.pixels(page, chart, kit.TRAIL)) > 30, `${chart} shows the trail foot`);
  }
  await page.locator('.chart-torque .behind summary').click();
  await kit.settled(page);
  const rows = await page.locator('.chart-torque tbody tr').count();
  assert.ok(rows >= Math.floor((events.impact_s - events.takeaway_s) / 0.05), `a row every 50 ms: ${rows}`);
  const top = page.locator('.chart-torque tbody tr', { hasText: 'top' }).first();
  assert.ok(Math.abs(kit.number(await top.locator('td').nth(2).textContent()) - atTop) < 1.5);
});

onPage('one cursor runs over all charts and the plan', async (page) => {
  await dropFour(page);
  const before = await kit.underCursor(page, 'vertical', 'lead');
  const box = await page.locator('.chart-shear canvas').boundingBox();
  assert.ok(box);
  await page.mouse.move(box.x + box.width * 0.3, box.y + 40);
  await kit.settled(page);
  const here = await page.getAttribute('#cursor', 'aria-valuenow');
  assert.notEqual(await kit.underCursor(page, 'vertical', 'lead'), before, 'another chart follows');
  await page.waitForFunction((time) => document.querySelector('#readout')?.textContent?.startsWith(time ?? ''), here);
  await page.keyboard.press('c');
  await page.keyboard.press('Shift+ArrowRight');
  await kit.settled(page);
  const step = Number(await page.getAttribute('#cursor', 'aria-valuenow')) - Number(here);
  // 250 Hz: 10 ms falls between samples 8 and 12 ms away.
  assert.ok(step >= 0.008 && step <= 0.012, `Shift and arrow move by 10 ms: ${step}`);
});

onPage('dragging the top makes every number that rests on it follow', async (page) => {
  await dropFour(page);
  const backswing = await kit.measured(page, 'backswing_s');
  const handle = page.getByRole('slider', { name: 'top', exact: true });
  const box = await handle.boundingBox();
  assert.ok(box);
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  // While the button is held: every number that is read between two moves is that of the marker's place.
  let last = backswing;
  for (const by of [10, 20, 30]) {
    await page.mouse.move(x - by, y, { steps: 2 });
    await kit.settled(page);
    const now = await kit.measured(page, 'backswing_s');
    assert.ok(now < last - 0.005, `${by} pixels to the left: ${last} → ${now}`);
    last = now;
    const placed = Number(await handle.getAttribute('aria-valuenow'));
    const [, listed] = (await page.innerText('#events')).replaceAll('\n', ' ').match(/top, by hand, ([\d.]+) s/) ?? [];
    assert.ok(Math.abs(Number(listed) - placed) < 0.0011, `the list has it at ${listed}, the marker at ${placed}`);
    const torque = await kit.measured(page, 'torque_at_top_nm');
    assert.ok(Math.abs(torque - (await kit.underCursor(page, 'torque', 'torque'))) < 1.5, `${torque} N·m at the top`);
  }
  await page.mouse.up();
  await kit.settled(page);
  const moved = await kit.measured(page, 'backswing_s');
  assert.equal(moved, last, 'letting go changes nothing');
  assert.ok(moved < backswing - 0.03, `the backswing shortens: ${backswing} → ${moved}`);
  const torque = await kit.measured(page, 'torque_at_top_nm');
  assert.ok(Math.abs(torque - (await kit.underCursor(page, 'torque', 'torque'))) < 1.5, 'the torque at the top is that under the marker');
  assert.match((await page.locator('#events').innerText()).toLowerCase(), /top, by hand/);
  assert.match(await handle.getAttribute('aria-valuetext') ?? '', /by hand/);
});

onPage('the keyboard alone moves the top and gives it back', async (page) => {
  await dropFour(page);
  const [before, ratio] = [await kit.measured(page, 'downswing_s'), await kit.measured(page, 'tempo_ratio')];
  await page.keyboard.press('t');
  for (let i = 0; i < 3; i += 1) await page.keyboard.press('Shift+ArrowLeft');
  await page.keyboard.press('ArrowLeft');
  await kit.settled(page);
  assert.ok(Math.abs((await kit.measured(page, 'downswing_s')) - (before + 0.031)) < 0.0015);
  assert.ok((await kit.measured(page, 'tempo_ratio')) < ratio);
  await page.keyboard.press('Delete');
  await kit.settled(page);
  assert.equal(await kit.measured(page, 'downswing_s'), before);
  assert.equal(await page.evaluate(() => document.activeElement?.getAttribute('aria-label')), 'top', 'the focus stays');
});

onPage('a marker that a key moves off the axis takes the axis along; a hand cannot drag it off', async (page) => {
  await dropFour(page);
  const top = page.getByRole('slider', { name: 'top', exact: true });
  await page.keyboard.press('t');
  await page.keyboard.press('End');
  await kit.settled(page);
  const last = Number(await top.getAttribute('aria-valuemax'));
  assert.equal(Number(await top.getAttribute('aria-valuenow')), last);
  assert.ok(await top.isVisible(), 'the marker in hand is seen');
  assert.equal(await page.evaluate(() => document.activeElement?.getAttribute('aria-label')), 'top');
  assert.equal(Number(await page.getAttribute('#cursor', 'aria-valuemax')), last, 'the axis reaches as far');
  // Another recording and back: what a hand placed is still in sight.
  await page.keyboard.press('n');
  await page.keyboard.press('p');
  await kit.settled(page);
  assert.ok(await top.isVisible());
  await top.focus();
  await page.keyboard.press('Delete');
  await page.getByRole('button', { name: 'Whole recording' }).click();
  await page.getByRole('button', { name: 'Swing', exact: true }).click();
  await kit.settled(page);
  const box = await top.boundingBox();
  assert.ok(box);
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 900, y, { steps: 4 });
  await page.mouse.up();
  await kit.settled(page);
  assert.ok(await top.isVisible());
  assert.equal(Number(await top.getAttribute('aria-valuenow')), Number(await page.getAttribute('#cursor', 'aria-valuemax')));
});

onPage('what is written, spoken and printed of an event gives one uncertainty', async (page) => {
  await dropFour(page);
  const said = (await page.innerText('#events')).replaceAll('\n', ' ');
  for (const [event, source] of [['address', 'estimated'], ['takeaway', 'from the file'], ['top', 'from the file'], ['impact', 'from the file']]) {
    const [, written] = said.match(new RegExp(`${event}, ${source}, [\\d.]+ s ± (\\d+) ms`)) ?? [];
    const spoken = (await page.getByRole('slider', { name: event, exact: true }).getAttribute('aria-valuetext')) ?? '';
    assert.match(spoken, new RegExp(`${source}, give or take ${written} milliseconds$`), `${event}: ${said}`);
    assert.notEqual(written, '0');
  }
  for (const name of FOUR.slice(2)) await page.getByRole('radiogroup', { name: `Set of ${name}` }).getByLabel('B').check();
  await page.getByRole('button', { name: 'A and B' }).click();
  await kit.settled(page);
  assert.doesNotMatch(await page.innerText('#events'), /± 0 ms/);
  assert.doesNotMatch((await page.getByRole('slider', { name: 'top', exact: true }).getAttribute('aria-valuetext')) ?? '', /give or take 0/);
});

onPage('a finger drags impact on a phone', async (page) => {
  await dropFour(page);
  const before = await kit.measured(page, 'downswing_s');
  const handle = page.getByRole('slider', { name: 'impact', exact: true });
  await handle.scrollIntoViewIfNeeded();
  const box = await handle.boundingBox();
  assert.ok(box);
  const client = await page.context().newCDPSession(page);
  const at = (/** @type {number} */ dx) => [{ x: box.x + box.width / 2 + dx, y: box.y + box.height / 2 }];
  await client.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: at(0) });
  for (const dx of [-5, -10, -15]) await client.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: at(dx) });
  await client.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
  await kit.settled(page);
  assert.ok((await kit.measured(page, 'downswing_s')) < before - 0.02);
}, { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });

onPage('an estimated event is drawn, written and spoken as estimated, and so are the numbers on it', async (page) => {
  await page.selectOption('#handed', 'left');
  await kit.drop(page, await Promise.all(['harbour-range-before-1.csv', 'harbour-range.rig.json'].map(kit.sample)));
  await kit.ready(page, 1);
  const top = page.getByRole('slider', { name: 'top', exact: true });
  assert.match(await top.getAttribute('aria-valuetext') ?? '', /estimated, give or take \d+ milliseconds/);
  assert.match(await top.innerText(), /est\./);
  const band = await page.locator('.marker[data-event="top"] .doubt').boundingBox();
  assert.ok(band && band.width > 1 && band.height > 200, 'its uncertainty runs over the charts as a band');
  // Address has one too: as wide as what is written of it, beside the top's.
  const width = async (/** @type {string} */ event) => {
    const [, ms] = (await page.innerText('#events')).replaceAll('\n', ' ').match(new RegExp(`${event}, estimated, [\\d.]+ s ± (\\d+) ms`)) ?? [];
    return [((await page.locator(`.marker[data-event="${event}"] .doubt`).boundingBox())?.width ?? 0) / Number(ms), Number(ms)];
  };
  const [[one, ms], [other]] = [await width('address'), await width('top')];
  assert.ok(ms > 0 && Math.abs(one / other - 1) < 0.15, `address ${one}, top ${other} pixels a millisecond`);
  assert.equal(await page.locator('.marker[data-event="address"] .doubt').evaluate((e) => getComputedStyle(e).borderLeftStyle), 'dotted');
  assert.match(await page.innerText('#sentence'), /estimated top/);
  assert.match(await page.locator('tr[data-measure="tempo_ratio"] .remark').innerText(), /estimated: rests on .*top/);
});

onPage('two sets overlay as means, and a recording changes sets', async (page) => {
  await dropFour(page);
  for (const name of FOUR.slice(2)) await page.getByRole('radiogroup', { name: `Set of ${name}` }).getByLabel('B').check();
  await kit.settled(page);
  const row = page.locator('tr[data-measure="torque_min_nm"]');
  assert.match(await row.locator('.of-A').innerText(), /^−\d+\.\d ± \d+\.\d \(n 2\)$/);
  assert.match(await row.locator('.of-B').innerText(), /^−\d+\.\d ± \d+\.\d \(n 2\)\nestimated$/);
  await page.fill('#label-B', 'after the step');
  await page.getByRole('button', { name: 'A and B' }).click();
  await kit.settled(page);
  const labels = await page.locator('.chart-torque .value').allTextContents();
  assert.deepEqual(labels.map((t) => t.replace(/ \S+ N·m$/, '')), ['A', 'B', 'this recording']);
  assert.match(await page.innerText('#axis-title'), /from the top/);
  assert.match(await page.innerText('#measures-head'), /A, before, mean ± SD[\s\S]*B, after the step, mean ± SD/);
  assert.ok((await kit.pixels(page, '.chart-torque canvas', '#78736b')) > 50, 'set A is drawn in its grey');
});

onPage('a table without its rig waits in the Tray, and is read when the rig comes', async (page) => {
  await kit.drop(page, [await kit.sample('harbour-range-before-1.csv')]);
  await page.waitForSelector('.recording[data-status="waiting"]');
  assert.match(await page.innerText('.recording .brief'), /rig/);
  assert.match(await page.innerText('#sentence'), /rig file is still missing/);
  await kit.drop(page, [await kit.sample('harbour-range.rig.json')]);
  await kit.ready(page, 1);
});

onPage('bad files get one sentence each while the good one is read', async (page) => {
  await kit.drop(page, [
    await kit.sample('bad.rig.json'),
    await kit.sample('bad-not-a-number.csv'),
    await kit.sample('harbour-range-before-1.c3d'),
    kit.written('letter.txt', 'Dear coach,\nthe plates are fine.\n'),
    { name: 'cut.c3d', bytes: (await kit.sample('harbour-range-before-1.c3d')).bytes.subarray(0, 700) },
    kit.written('empty.csv', ''),
    kit.written('broken.rig.json', '{"format": "footing-rig/1", "plates": [}'),
  ]);
  await kit.ready(page, 1);
  const sentences = await page.locator('#refused li span').allInnerTexts();
  for (const name of ['bad-not-a-number.csv', 'letter.txt', 'cut.c3d', 'empty.csv', 'broken.rig.json']) {
    const own = sentences.filter((text) => text.startsWith(name));
    assert.equal(own.length, 1, `${name} has one sentence: ${JSON.stringify(sentences)}`);
    assert.match(own[0], /expected .*try /, own[0]);
  }
  assert.match(sentences.find((s) => s.startsWith('bad-not-a-number')) ?? '', /^bad-not-a-number\.csv:\d+:\d+: /);
  assert.ok((await kit.measured(page, 'torque_max_nm')) > 0);
});

onPage('files arrive by browsing and a table by pasting', async (page) => {
  const table = await kit.sample('harbour-range-before-1.csv');
  const rig = await kit.sample('harbour-range.rig.json');
  await page.setInputFiles('#files-input', [{ name: rig.name, mimeType: 'application/json', buffer: rig.bytes }]);
  await page.waitForSelector('#rig:not([hidden])');
  await page.evaluate((text) => {
    const data = new DataTransfer();
    data.setData('text/plain', text);
    document.body.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }));
  }, table.bytes.toString());
  await kit.ready(page, 1);
  assert.match(await page.innerText('.recording .name'), /pasted 1/);
});

onPage('one click opens the sample swings in their sets', async (page) => {
  await page.getByRole('button', { name: 'Open the sample swings' }).click();
  await kit.ready(page, 12);
  assert.equal(await page.inputValue('#handed'), 'left', 'the sample says which hand');
  const row = page.locator('tr[data-measure="torque_zero_cross_s"]');
  assert.match(await row.locator('.of-A').innerText(), /\(n 6\)/);
  assert.match(await row.locator('.of-B').innerText(), /\(n 6\)/);
  await page.getByRole('button', { name: 'Remove harbour-range-before-1.c3d' }).click();
  await kit.settled(page);
  assert.match(await row.locator('.of-A').innerText(), /\(n 5\)/);
});

onPage('settings change what is computed, and the reference point is written beside the torque', async (page) => {
  await dropFour(page);
  const peak = await kit.measured(page, 'torque_max_nm_per_kg');
  await page.fill('#mass', '37');
  await page.press('#mass', 'Enter');
  await kit.settled(page);
  assert.ok(Math.abs((await kit.measured(page, 'torque_max_nm_per_kg')) / peak - 2) < 0.01, 'half the mass, twice the torque per kilogram');
  await page.fill('#mass', 'heavy');
  await page.press('#mass', 'Enter');
  assert.match(await page.innerText('#mass-fault'), /expected a number/);
  await page.fill('#mass', '');
  await page.press('#mass', 'Enter');
  await page.selectOption('#reference', 'combined-cop');
  await kit.settled(page);
  for (const place of ['#about', '#measures-about', '#title-torque']) {
    assert.match(await page.innerText(place), /combined centre of pressure, descriptive only/);
  }
  const { measures } = await kit.truth('harbour-range-before-1');
  assert.ok(Math.abs((await kit.measured(page, 'torque_max_nm')) - measures['combined-cop'].torque_max_nm) < 1.5);
});

onPage('what is changed while recordings are being read is not lost', async (page) => {
  await page.selectOption('#handed', 'left');
  // The change comes right after the worker was given the settings to read with, on a machine of any speed.
  await page.evaluate(() => {
    const post = Worker.prototype.postMessage;
    Worker.prototype.postMessage = function (/** @type {any[]} */ ...args) {
      Reflect.apply(post, this, args);
      if (args[0].name !== 'load') return;
      Worker.prototype.postMessage = post;
      const mass = /** @type {HTMLInputElement} */ (document.getElementById('mass'));
      mass.value = '70';
      mass.dispatchEvent(new Event('change'));
    };
  });
  await kit.drop(page, [await kit.sample(FOUR[0])]);
  await kit.ready(page, 1);
  assert.equal(await kit.measured(page, 'body_mass_kg'), 70);

  // An event moved while the worker changes to the whole module and reads everything again.
  await kit.drop(page, [await kit.sample(FOUR[1])]);
  await kit.ready(page, 2);
  await page.evaluate(() => {
    const post = Worker.prototype.postMessage;
    Worker.prototype.postMessage = function (/** @type {any[]} */ ...args) {
      Reflect.apply(post, this, args);
      if (args[0].name !== 'load') return;
      Worker.prototype.postMessage = post;
      const top = document.querySelector('.marker[data-event="top"] .handle');
      top?.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowLeft', shiftKey: true, bubbles: true }));
    };
  });
  await page.getByRole('radiogroup', { name: `Set of ${FOUR[1]}` }).getByLabel('B').check();
  await page.waitForFunction(() => document.querySelector('#events')?.textContent?.includes('top, by hand'));
  await kit.settled(page);
  const [, at] = (await page.innerText('#events')).replaceAll('\n', ' ').match(/top, by hand, ([\d.]+) s/) ?? [];
  assert.ok(Math.abs(await kit.measured(page, 'backswing_s') - (Number(at) - 0.94)) < 0.0011, `top at ${at}`);
});

onPage('A and B asked for while the worker changes have their own time axis, counted from the top', async (page) => {
  await dropFour(page);
  // A and B are asked for when the whole module is about to take over, and the old worker ends before it answers.
  await page.evaluate(() => {
    const { compile } = WebAssembly;
    const post = Worker.prototype.postMessage;
    WebAssembly.compile = async (bytes) => {
      WebAssembly.compile = compile;
      const asked = new Promise((done) => {
        Worker.prototype.postMessage = function (/** @type {any[]} */ ...args) {
          if (args[0].name !== 'sets') return void Reflect.apply(post, this, args);
          Worker.prototype.postMessage = post;
          done(undefined);
        };
      });
      /** @type {HTMLElement} */ (document.querySelector('#show-sets')).click();
      await asked;
      return compile(bytes);
    };
  });
  await page.getByRole('radiogroup', { name: `Set of ${FOUR[2]}` }).getByLabel('B').check();
  await page.waitForFunction(() => document.querySelector('#axis-title')?.textContent?.includes('from the top'));
  await kit.settled(page);
  assert.ok(Number(await page.getAttribute('#cursor', 'aria-valuemin')) < 0);
  assert.ok(await page.getByRole('slider', { name: 'top', exact: true }).isVisible());
});

onPage('a recording without shear says why there is no torque', async (page) => {
  await kit.drop(page, await Promise.all(['vertical-only.csv', 'vertical-only.rig.json'].map(kit.sample)));
  await kit.ready(page, 1);
  const row = page.locator('tr[data-measure="torque_min_nm"]');
  assert.equal(await row.locator('td.number').first().innerText(), 'absent');
  assert.ok((await row.locator('.remark').innerText()).length > 20, 'with the reason');
  assert.match(await page.innerText('#say-torque'), /horizontal forces/);
  assert.ok((await kit.pixels(page, '.chart-vertical canvas', kit.LEAD)) > 30, 'what can be had is drawn');
  // The sentence begins with what there is, and keeps what it promises.
  const { measures } = await kit.truth('vertical-only');
  const [, share, promised] = (await page.innerText('#sentence')).match(/^At the estimated takeaway the lead foot carries (\d+) % of the load; place top and impact at the cursor to get (\d+) more measures; these plates do not measure torque$/) ?? [];
  assert.ok(Math.abs(Number(share) - 100 * (measures['stance-centre'] ?? measures).lead_share_at_takeaway) <= 1.5, `${share} %`);
  const absent = () => page.locator('#measures-body td.number.absent').count();
  const before = await absent();
  const { events } = await kit.truth('vertical-only');
  for (const [event, seconds] of [['top', events.top_s], ['impact', events.impact_s]]) {
    await page.keyboard.press('c');
    await page.keyboard.press('Home');
    for (let i = 0; Number(await page.getAttribute('#cursor', 'aria-valuenow')) < seconds - 0.05 && i < 60; i += 1) await page.keyboard.press('PageUp');
    // With the top known, impact has a candidate.
    const place = page.getByRole('button', { name: `place at the cursor: ${event}, not known` });
    if (event === 'top' || (await place.count()) > 0) await place.click();
    await kit.settled(page);
  }
  assert.equal(before - (await absent()), Number(promised));
  assert.match(await page.innerText('#sentence'), /^At the top the lead foot carries \d+ % of the load; these plates do not measure torque$/);
});

onPage('each measure opens its meaning, formula and source; the key sheet opens and gives the focus back', async (page) => {
  await dropFour(page);
  const button = page.getByRole('button', { name: 'Net impulse', exact: true });
  await button.click();
  const more = page.locator('#more-impulse_net_nms');
  assert.match(await more.innerText(), /angular momentum[\s\S]*∫ T dt[\s\S]*mechanics/);
  await page.locator('#keys-open').focus();
  await page.keyboard.press('?');
  assert.ok(await page.locator('#keys').isVisible());
  await page.keyboard.press('Escape');
  assert.equal(await page.evaluate(() => document.activeElement?.id), 'keys-open');
});

onPage('cancelling ends a long reading at once and keeps what was read before', async (page) => {
  await kit.drop(page, [await kit.sample('harbour-range-before-1.c3d'), await kit.sample('harbour-range.rig.json')]);
  await kit.ready(page, 1);
  const before = await kit.measured(page, 'torque_max_nm');
  await page.evaluate(() => {
    const head = 'Time,Fx1,Fy1,Fz1,Mx1,My1,Mz1,Fx2,Fy2,Fz2,Mx2,My2,Mz2,Trigger\n';
    const rows = Array.from({ length: 200_000 }, (_, i) => `${(i / 1000).toFixed(3)},1,2,400,1,2,3,1,2,400,1,2,3,0\n`);
    const data = new DataTransfer();
    data.items.add(new File([head, ...rows], 'long.csv'));
    new MutationObserver((_, observer) => {
      if (document.querySelector('#busy[hidden]')) return;
      observer.disconnect();
      /** @type {HTMLElement} */ (document.querySelector('#cancel')).click();
    }).observe(/** @type {Node} */ (document.querySelector('#busy')), { attributes: true });
    document.body.dispatchEvent(new DragEvent('drop', { dataTransfer: data, bubbles: true, cancelable: true }));
  });
  await page.locator('#refused').getByText('long.csv: cancelled before it was read; drop it again').waitFor();
  await kit.ready(page, 1);
  assert.equal(await kit.measured(page, 'torque_max_nm'), before);
  await page.keyboard.press('t');
  await page.keyboard.press('Shift+ArrowLeft');
  await kit.settled(page);
  assert.match(await page.locator('#events').innerText(), /top, by hand/);
});
