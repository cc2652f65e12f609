// What speaks against a recording: kept out of the sets until a person says otherwise; several swings in one file.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';

import * as kit from './kit.mjs';

const { onPage } = kit.suite();

/** The sentence of the link about a set. @param {import('playwright-core').Page} page */
async function sent(page) {
  await page.locator('#send-open').click();
  await page.waitForFunction(() => document.querySelector('#send-holds')?.textContent?.includes('swings'));
  const text = await page.innerText('#send-holds');
  await page.locator('#send-close').click();
  return text;
}

onPage('a recording with a stop is left out of its set until a person uses it all the same, and the link says so', async (page) => {
  await kit.twoSets(page);
  // A right-handed swing among those of a left-handed player.
  await kit.drop(page, [await kit.sample('driver-right-1.c3d')]);
  await kit.ready(page, 13);
  const bad = page.locator('.recording', { hasText: 'driver-right-1' });
  assert.match(await bad.locator('.notes .stop').first().innerText(), /^Stop .*other hand/);
  assert.match(await bad.locator('.stop-says').innerText(), /Kept out of the sets/);
  assert.match(await page.innerText('#findings .counted'), /A, before: 6 swings/);
  await bad.getByRole('button', { name: /^Use it all the same/ }).press('Enter');
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('A, before: 7 swings'));
  assert.match(await bad.locator('.stop-says').innerText(), /Used by hand/);
  assert.match(await sent(page), /7 swings, 1 of them against a note that says stop/);
  // The masses that the simulator gives its two players.
  const [own, usual] = [83, 74];
  const said = (await bad.locator('.notes').innerText()).match(/This recording weighs (\d+\.\d) kg, (\d+) % more than the usual (\d+\.\d) kg of this player/);
  assert.ok(said, await bad.locator('.notes').innerText());
  assert.ok(Math.abs(Number(said[1]) - own) < 0.5 && Math.abs(Number(said[3]) - usual) < 0.5, said[0]);
  assert.equal(Number(said[2]), Math.round(100 * (own / usual - 1)));
  await bad.getByRole('button', { name: /^Leave out again/ }).click();
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('A, before: 6 swings'));
  assert.doesNotMatch(await sent(page), /says stop/);
  await page.locator('#undo').click();
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('A, before: 7 swings'));
});

onPage('a stop is the headline, with what to do; the reading stands smaller until a person uses it all the same', async (page) => {
  const names = ['before-1', 'before-2', 'after-1', 'after-2'].map((name) => `harbour-range-${name}.c3d`);
  await kit.drop(page, await Promise.all(names.map(kit.sample)));
  await kit.ready(page, 4);
  assert.match(await page.innerText('#sentence'), /^Stop\. This swing turns like a left-handed player.s: set left-handed/);
  assert.match(await page.innerText('#stop-reading'), /^Until then this is not to be relied on: The ground starts turning/);
  const size = (/** @type {string} */ query) => page.locator(query).evaluate((e) => parseFloat(getComputedStyle(e).fontSize));
  assert.ok((await size('#stop-reading')) < 0.6 * (await size('#sentence')));
  assert.match(await page.innerText('#context'), /set A, before, kept out/);
  assert.ok(await page.locator('#kept-out').isHidden(), 'nothing is to be compared yet');
  for (const name of names.slice(2)) await page.locator('.recording', { hasText: name }).getByLabel('B', { exact: true }).check();
  await kit.settled(page);
  assert.equal(await page.innerText('#kept-out-says'), 'A and B are not compared: all 2 recordings of A, before and all 2 recordings of B, after are kept out: a note says stop.');
  await page.getByRole('button', { name: 'Use all 4 all the same' }).click();
  await page.waitForSelector('#findings:not([hidden])');
  await kit.settled(page);
  assert.ok(await page.locator('#kept-out').isHidden());
  await page.locator('#undo').click();
  await page.waitForSelector('#stop-more:not([hidden])');
  await page.getByRole('button', { name: 'Set left-handed' }).click();
  await page.waitForFunction(() => document.querySelector('#sentence')?.textContent?.startsWith('There are too few swings'));
  await kit.settled(page);
  assert.ok(await page.locator('#stop-more').isHidden());
});

onPage('a top behind impact is a stop that says so in the headline, and beside the comparison of the others', async (page) => {
  await kit.twoSets(page);
  await page.locator('.recording .name').first().click();
  await page.keyboard.press('t');
  for (let i = 0; i < 4; i += 1) await page.keyboard.press('PageUp');
  await page.waitForFunction(() => document.querySelector('#kept-out-says')?.textContent?.startsWith('1 recording of A'));
  await kit.settled(page);
  assert.equal(await page.innerText('#kept-out-says'), '1 recording of A, before is kept out: a note says stop.');
  assert.match(await page.innerText('#recording-sentence'), /^harbour-range-before-1\.c3d: stop\. top \(\d\.\d+ s\) does not come before impact/);
  for (const name of await page.locator('.recording .name').allInnerTexts()) {
    if (name.includes('after')) await page.getByRole('radiogroup', { name: `Set of ${name}` }).getByLabel('neither').check();
  }
  await kit.settled(page);
  assert.match(await page.innerText('#sentence'), /^Stop\. top \(\d\.\d+ s\) does not come before impact \(\d\.\d+ s\): set one of them by hand/);
});

onPage('a file of three swings becomes three recordings; its other movements are named; sets and links count each', async (page) => {
  const truth = JSON.parse((await kit.sample('three-swings.movements.json')).bytes.toString());
  const swings = truth.movements.filter((/** @type {any} */ m) => m.what === 'swing');
  await kit.drop(page, [await kit.sample('three-swings.c3d')]);
  await kit.ready(page, swings.length);
  const names = await page.locator('.recording .name').allInnerTexts();
  assert.deepEqual(names, [1, 2, 3].map((n) => `three-swings.c3d, swing ${n} of 3`));
  const facts = (await page.locator('.recording .facts').first().textContent()) ?? '';
  const named = [...facts.matchAll(/(\d+\.\d) to (\d+\.\d) s is no swing/g)].map((m) => [Number(m[1]), Number(m[2])]);
  for (const { what, takeaway_s: from, impact_s: to } of truth.movements) {
    const found = named.some((one) => one[0] < to && one[1] > from);
    assert.equal(found, what !== 'swing', `${what} from ${from} s: ${facts}`);
  }
  for (const [i, swing] of swings.entries()) {
    await page.locator('.recording .name').nth(i).click();
    await kit.settled(page);
    const top = await page.locator('#events').innerText();
    const seconds = [...top.matchAll(/(\d+\.\d+) s/g)].map((m) => Number(m[1]));
    assert.ok(seconds.some((s) => Math.abs(s - swing.top_s) < 0.06), `${swing.top_s}: ${top}`);
  }
  await page.locator('.recording').nth(2).getByLabel('B', { exact: true }).check();
  await page.waitForFunction(() => document.querySelector('#findings .counted')?.textContent?.includes('A, before: 2 swings'));
  assert.match(await sent(page), /2 swings/);
  // Read anew by a fresh worker, every swing is the one it was.
  await page.selectOption('#handed', 'left');
  await page.selectOption('#handed', 'right');
  await kit.ready(page, 3);
});

onPage('a recording without a swing is a stop that says what it is instead, and is kept out until a hand counts it', async (page) => {
  await kit.drop(page, [await kit.sample('bad-no-swing.c3d'), await kit.sample('driver-right-1.c3d')]);
  await kit.ready(page, 2);
  assert.match(await page.innerText('#sentence'), /^Stop\. No swing was found: from \d\.\d to \d\.\d s, a half move: .*count it by hand/);
  assert.match(await page.innerText('#context'), /set A, before, kept out/);
  const none = page.locator('.recording', { hasText: 'bad-no-swing' });
  assert.match((await none.locator('.facts').textContent()) ?? '', /is no swing: a small movement, such as a waggle/);
  assert.equal(await page.locator('.recording[data-counts="yes"]').count(), 1);
  await none.getByRole('button', { name: /^Use it all the same/ }).press('Enter');
  await kit.settled(page);
  assert.equal(await page.locator('.recording[data-counts="yes"]').count(), 2);
});

onPage('a hand overrules the stops that were there: a new one stands again, and a session keeps which they were', async (page) => {
  await kit.drop(page, [await kit.sample('bad-swapped-feet.rig.json'), await kit.sample('bad-swapped-feet.csv')]);
  await kit.ready(page, 1);
  const one = page.locator('.recording');
  assert.match(await page.innerText('#sentence'), /^Stop\. The foot called lead stands further/);
  await one.getByRole('button', { name: /^Use it all the same/ }).click();
  await kit.settled(page);
  assert.doesNotMatch(await page.innerText('#sentence'), /^Stop/);
  assert.equal(await one.getAttribute('data-counts'), 'yes');
  // A mass that is not this player's: another stop.
  await page.fill('#mass', '50');
  await page.press('#mass', 'Enter');
  await page.waitForFunction(() => document.querySelector('#sentence')?.textContent?.includes('that was typed'));
  await kit.settled(page);
  assert.match(await page.innerText('#sentence'), /^Stop\. In quiet stance the plates weigh 78\.0 kg/);
  assert.match(await one.locator('.stop-says').innerText(), /another note says stop/);
  assert.equal(await one.getAttribute('data-counts'), 'no');
  await one.getByRole('button', { name: /^Use it all the same/ }).click();
  await kit.settled(page);
  assert.equal(await one.getAttribute('data-counts'), 'yes');
  await page.locator('#undo').click();
  await kit.settled(page);
  assert.equal(await one.getAttribute('data-counts'), 'no');
  assert.match(await page.innerText('#sentence'), /^Stop\. In quiet stance/);
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save session to a file' }).click()]);
  const saved = JSON.parse(await readFile(await download.path(), 'utf8'));
  const [kept] = saved.holds.recordings;
  assert.equal(kept.overruled, true);
  assert.ok(kept.overruled_stops.includes('feet-swapped') && !kept.overruled_stops.includes('mass-typed'), String(kept.overruled_stops));
  // Opened as it was saved, the new stop stands; a session that names no stops overrules those it is read with.
  const open = async () => {
    const holds = JSON.stringify(saved.holds);
    let hash = 0x811c9dc5;
    for (let i = 0; i < holds.length; i += 1) hash = Math.imul(hash ^ holds.charCodeAt(i), 0x01000193);
    const text = JSON.stringify({ format: saved.format, checksum: (hash >>> 0).toString(16).padStart(8, '0'), holds: saved.holds });
    await page.setInputFiles('#session-input', [{ name: 'again.json', mimeType: 'application/json', buffer: Buffer.from(text) }]);
    await page.waitForFunction(() => document.querySelector('main')?.textContent?.includes('Opened again.json'));
    await kit.ready(page, 1);
  };
  await open();
  assert.equal(await one.getAttribute('data-counts'), 'no');
  delete kept.overruled_stops;
  await open();
  assert.equal(await one.getAttribute('data-counts'), 'yes');
});

onPage('what warns of a measure or a chart stands beside it, for the eye, the keyboard and a reader, and in the columns of the sets', async (page) => {
  await kit.drop(page, [await kit.sample('bad.rig.json'), await kit.sample('bad-shear-gain.csv'), await kit.sample('bad-jitter.csv')]);
  await kit.ready(page, 2);
  await page.locator('.recording .name', { hasText: 'bad-shear-gain' }).click();
  await kit.settled(page);
  const says = /Careful: The lead foot.s toe.heel shear ranges over/;
  const line = page.locator('.chart-shear .careful');
  assert.match((await line.locator('summary').textContent()) ?? '', /^Stop: The (lead|trail) foot.s force along the ground reaches a share/);
  assert.match((await line.locator('ul').textContent()) ?? '', says);
  assert.equal(await page.locator('.chart-vertical .careful').isVisible(), false, 'vertical force is as good as ever');
  const described = (await page.locator('.chart-shear canvas').getAttribute('aria-describedby')) ?? '';
  assert.ok(described.split(' ').includes((await line.getAttribute('id')) ?? '?'));
  await line.locator('summary').press('Enter');
  assert.ok((await line.locator('li').count()) > 0 && (await line.locator('li').first().isVisible()));
  // The row: a mark that a pointer shows the text of, and that opens it.
  const row = page.locator('tr[data-measure="lead_fa_max_n"]');
  const mark = row.locator('.remark .mark');
  assert.equal(await mark.innerText(), 'stop');
  assert.match((await mark.getAttribute('title')) ?? '', says);
  await mark.press('Enter');
  await page.waitForSelector('#more-lead_fa_max_n .warns li');
  assert.equal(await mark.getAttribute('aria-expanded'), 'true');
  assert.match(await page.innerText('#more-lead_fa_max_n .warns'), says);
  assert.ok(await mark.evaluate((e) => e === document.activeElement), 'the focus stays');
  assert.equal(await page.locator('tr[data-measure="lead_fz_max_bw"] .mark').count(), 0);
  // What touches all of them alike stands above them once, also when it is another recording's in the set.
  await page.locator('.recording .name', { hasText: 'bad-jitter' }).click();
  await kit.settled(page);
  for (const id of ['careful-bench', 'measures-careful']) {
    assert.match((await page.locator(`#${id} summary`).textContent()) ?? '', /^Careful: 320 of 640 sample intervals/);
  }
  assert.equal(await row.locator('.mark').count(), 0, 'the other one is kept out');
  await page.locator('.recording', { hasText: 'bad-shear-gain' }).getByRole('button', { name: /^Use it all the same/ }).click();
  await page.waitForFunction(() => document.querySelector('tr[data-measure="lead_fa_max_n"] .of-A .mark') !== null);
  assert.match((await row.locator('.of-A .mark').getAttribute('title')) ?? '', /Stop, 1 of 2 in A, before: The (lead|trail) foot/);
  assert.equal(await row.locator('.remark .mark').count(), 0);
  await page.locator('.recording', { hasText: 'bad-jitter' }).getByLabel('B', { exact: true }).check();
  await page.waitForSelector('#show-sets:not([disabled])');
  await kit.settled(page);
  await page.locator('#show-sets').click();
  await page.waitForFunction(() => document.querySelector('#bench')?.getAttribute('data-show') === 'sets');
  await kit.settled(page);
  assert.match((await line.locator('summary').textContent()) ?? '', /^Stop, 1 of 1 in A, before: The (lead|trail) foot/);
  assert.match((await page.locator('#careful-bench').textContent()) ?? '', /Careful, 1 of 1 in B, after: 320 of 640/);
});
