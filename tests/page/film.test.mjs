// A film of the swing beside its recording: one clock, frame by frame, events set from frames with their doubt.

import assert from 'node:assert/strict';

import { drawn, filmNow, lookedAt, numberSeen, step } from './films.mjs';
import * as kit from './kit.mjs';

let film = Buffer.alloc(0);

const { onPage } = kit.suite(undefined, async (page) => {
  film = await drawn(page);
});

/** @typedef {import('playwright-core').Page} Page */

/** @param {Page} page */
const cursor = async (page) => Number(await page.getAttribute('#cursor', 'aria-valuenow'));

/** @param {Page} page */
async function withFilm(page) {
  await kit.drop(page, [await kit.sample('harbour-range-before-1.c3d'), { name: 'Harbour-range-before-1.WEBM', bytes: film }]);
  await kit.ready(page, 1);
  await lookedAt(page);
}

onPage('a film dropped beside its recording is stepped frame by frame, and its rate is measured', async (page) => {
  await withFilm(page);
  assert.match(await page.innerText('#film-title'), /Harbour-range-before-1\.WEBM/);
  const rate = kit.number(await page.locator('#film').getByText(/frames a second of the swing/).textContent());
  assert.equal(rate, 25, 'a frame every 40 ms');
  const first = await numberSeen(page);
  for (const [by, at] of [[1, 1], [1, 2], [3, 5], [-1, 4], [-2, 2]]) {
    await step(page, by);
    assert.equal((await numberSeen(page)) - first, at, `after ${by} more the picture is ${at} frames on`);
  }
  await page.getByRole('button', { name: 'Next frame' }).click();
  await kit.settled(page);
  assert.equal((await numberSeen(page)) - first, 3);
  assert.equal(await page.getByRole('button', { name: 'This frame is impact' }).isDisabled(), true, 'no event before it is lined up');
});

onPage('lined up, cursor and film move together, both ways', async (page) => {
  await withFilm(page);
  await step(page, 6);
  const [onFilm, seen] = [await filmNow(page), await numberSeen(page)];
  await page.selectOption('#film-shared', 'top');
  await page.getByRole('button', { name: 'This frame is it' }).click();
  await kit.settled(page);
  const { events } = await kit.truth('harbour-range-before-1');
  assert.ok(Math.abs((await cursor(page)) - events.top_s) < 0.002, 'the cursor goes to the shared instant');
  await step(page, 4);
  const later = await filmNow(page);
  assert.ok(Math.abs((await cursor(page)) - events.top_s - (later - onFilm)) < 0.002, 'the cursor follows the film');
  assert.equal(await numberSeen(page), seen + 4);
  const torque = await kit.underCursor(page, 'torque', 'torque');
  await page.keyboard.press('c');
  for (let i = 0; i < 2; i += 1) await page.keyboard.press('PageDown');
  for (let i = 0; i < 2; i += 1) await page.keyboard.press('Shift+ArrowRight');
  await page.waitForFunction((old) => document.querySelector('#film-now')?.textContent?.startsWith(old) === false, later.toFixed(3));
  await kit.settled(page);
  assert.equal(await numberSeen(page), seen + 4 - 5, '180 ms earlier the fifth frame before, of 40 ms each, was on screen');
  assert.notEqual(await kit.underCursor(page, 'torque', 'torque'), torque, 'the charts are where the film is');
});

onPage('a slow-motion film sets top, lead arm level and impact by key, and every number follows with its doubt', async (page) => {
  await withFilm(page);
  await page.locator('#film summary').click();
  await page.fill('#film-filmed', '240');
  await page.press('#film-filmed', 'Enter');
  await page.focus('#film video');
  await kit.settled(page);
  await step(page, 10);
  // The cursor stands at the top when a recording is opened.
  await page.selectOption('#film-shared', 'cursor');
  await page.getByRole('button', { name: 'This frame is it' }).click();
  await kit.settled(page);
  const backswing = await kit.measured(page, 'backswing_s');
  const before = await filmNow(page);
  await step(page, -6);
  const passed = (before - (await filmNow(page))) * (kit.number(await page.inputValue('#film-plays')) / 240);
  assert.ok(Math.abs(passed - 6 / 240) < 0.004, `six frames at 240 a second: ${passed} s`);

  await page.focus('#mass');
  await page.keyboard.press('t');
  await kit.settled(page);
  assert.equal(await kit.measured(page, 'backswing_s'), backswing, 'a letter typed in a field sets nothing');
  await page.fill('#mass', '');

  await page.keyboard.press('Tab');
  await page.getByRole('heading', { name: 'Bench' }).click();
  await page.keyboard.press('f');
  await page.keyboard.press('t');
  await kit.settled(page);
  assert.ok(Math.abs((await kit.measured(page, 'backswing_s')) - (backswing - passed)) < 0.0025, 'the backswing follows');
  // Half a frame of 1/240 s for this one, half a frame for the shared one, half a sample of 1/250 s for the cursor.
  const list = await page.locator('#events').innerText();
  const doubt = Number(list.match(/top, from film, \d\.\d{3} s ± (\d+) ms/)?.[1]);
  assert.equal(doubt, Math.round(1000 / 240 + 500 / 250), list);
  assert.match(list, /set from film, 240 frames a second/);
  const handle = page.getByRole('slider', { name: 'top', exact: true });
  assert.match(await handle.getAttribute('aria-valuetext') ?? '', new RegExp(`from film, give or take ${doubt} milliseconds`));
  const band = await page.locator('.marker[data-event="top"] .doubt').boundingBox();
  assert.ok(band && band.width > 1, 'its doubt is drawn');

  await step(page, -4);
  await page.keyboard.press('a');
  await kit.settled(page);
  assert.match(await page.locator('#events').innerText(), /lead arm level, from film/);
  assert.ok(Number.isFinite(await kit.measured(page, 'cop_angle_at_arm_level_deg')), 'what rests on it is there');
  await step(page, 20);
  await page.keyboard.press('i');
  await kit.settled(page);
  assert.match(await page.locator('#events').innerText(), /impact, from film/);

  await page.keyboard.press('c');
  await page.keyboard.press('t');
  await page.keyboard.press('ArrowLeft');
  await kit.settled(page);
  assert.match(await page.locator('#events').innerText(), /top, by hand/, 'a hand takes it over, without the film’s doubt');
});

onPage('a kept session holds the film only when asked, lined up as it was', async (page) => {
  await withFilm(page);
  await step(page, 5);
  await page.getByRole('button', { name: 'This frame is it' }).click();
  await page.keyboard.press('f');
  await page.keyboard.press('a');
  await kit.settled(page);
  const said = await page.locator('#film .film-controls [role="status"]').innerText();
  assert.match(said, /^Lined up by the moment under the cursor/);
  const arm = () => page.locator('#events').innerText().then((text) => text.match(/lead arm level, from film.*/)?.[0] ?? '');
  const before = await arm();
  assert.notEqual(before, '');
  await page.getByLabel('Keep this session in this browser').check();
  await kit.kept(page);
  await page.reload();
  await kit.ready(page, 1);
  assert.equal(await arm(), before, 'the event and its doubt stay');
  assert.ok(await page.getByRole('button', { name: 'Film of this swing…' }).isVisible(), 'the film was not asked for');

  await kit.drop(page, [{ name: 'harbour-range-before-1.webm', bytes: film }]);
  await page.getByText(/frames a second of the swing, measured/).waitFor();
  await step(page, 5);
  await page.getByRole('button', { name: 'This frame is it' }).click();
  await page.getByLabel('The films too').check();
  await kit.kept(page);
  await page.reload();
  await kit.ready(page, 1);
  await page.locator('#film video').waitFor();
  await page.getByText(/^Lined up by the moment under the cursor/).waitFor();
  await kit.settled(page);
  const seen = await numberSeen(page);
  await step(page, 1);
  assert.equal(await numberSeen(page), seen + 1, 'it plays');
});

onPage('a film is removed, and one that cannot be played says so', async (page) => {
  await withFilm(page);
  await page.getByRole('button', { name: 'Remove the film' }).click();
  await kit.settled(page);
  assert.ok(await page.locator('#film video').isHidden());
  assert.ok(await page.getByRole('button', { name: 'Film of this swing…' }).isVisible());
  await kit.drop(page, [kit.written('broken.mp4', 'no film at all')]);
  await page.locator('#refused').getByText(/^broken\.mp4: this browser cannot play it .*expected a film such as/).waitFor();
  assert.ok(await page.locator('#film video').isHidden());
  assert.equal(await page.locator('.recording').count(), 1);
});

onPage('a film without a recording says what it needs', async (page) => {
  await kit.drop(page, [{ name: 'swing.webm', bytes: film }]);
  await page.locator('#refused').getByText('swing.webm: a film needs the recording of its swing, expected one in the Tray; drop the recording, then the film').waitFor();
});
