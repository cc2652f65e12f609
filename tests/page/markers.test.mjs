// Markers under a hand that does not quite hold still, that scrolls, and that is on its way elsewhere.

import assert from 'node:assert/strict';

import * as kit from './kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

const ESTIMATED = ['driver-right-1.csv', 'driver-right.rig.json'];
const WITH_EVENTS = ['harbour-range-before-1.c3d', 'harbour-range-before-2.c3d'];

const { onPage } = kit.suite();

/** @param {Page} page @param {string[]} names */
async function open(page, names) {
  await kit.drop(page, await Promise.all(names.map(kit.sample)));
  await kit.ready(page, names.filter((name) => !name.endsWith('.rig.json')).length);
}

/** @param {Page} page */
const top = (page) => page.locator('.marker[data-event="top"] .handle');

/** What is said of the top: by its marker, among the events, in the largest words and as a step back. @param {Page} page */
const said = async (page) => [
  await top(page).getAttribute('aria-valuetext'),
  await page.locator('#events').innerText(),
  await page.innerText('#sentence'),
  await page.locator('#undo').textContent(),
];

/** The middle of the top's name. @param {Page} page */
async function middle(page) {
  await top(page).scrollIntoViewIfNeeded();
  const box = await top(page).boundingBox();
  assert.ok(box);
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

onPage('a marker that is pressed and not moved along the time axis stays an estimated one', async (page) => {
  await open(page, ESTIMATED);
  const before = await said(page);
  assert.match(String(before[0]), /estimated, give or take/);
  const { x, y } = await middle(page);
  await page.mouse.move(x, y);
  for (const [right, down] of [[0, 0], [0, 1], [2, 3], [-3, 12]]) {
    await page.mouse.down();
    await page.mouse.move(x + right, y + down);
    await page.mouse.up();
    await page.mouse.move(x, y);
    await kit.settled(page);
    assert.deepEqual(await said(page), before, `moved by ${right}, ${down}`);
  }
  // Once it moves, it follows to the pixel.
  await page.mouse.down();
  await page.mouse.move(x + 20, y);
  await page.mouse.move(x + 1, y);
  await page.mouse.up();
  await kit.settled(page);
  const [by] = await said(page);
  assert.match(String(by), /by hand/);
  const moved = kit.number(by) - kit.number(before[0]);
  assert.ok(moved > 0 && moved < 0.01, `moved by ${moved} s`);
});

/** A finger on the glass. @param {Page} page */
async function finger(page) {
  const client = await page.context().newCDPSession(page);
  const touch = (/** @type {'touchStart' | 'touchMove' | 'touchEnd'} */ type, /** @type {{x: number, y: number}[]} */ ...touchPoints) => client.send('Input.dispatchTouchEvent', { type, touchPoints });
  /** @param {{x: number, y: number}} from @param {number} right @param {number} down */
  const swipe = async ({ x, y }, right, down) => {
    await touch('touchStart', { x, y });
    for (let i = 1; i <= 10; i += 1) {
      await touch('touchMove', { x: x + (right * i) / 10, y: y + (down * i) / 10 });
      await page.evaluate(() => new Promise((done) => requestAnimationFrame(done)));
    }
    await touch('touchEnd');
    await kit.settled(page);
  };
  return swipe;
}

onPage('a thumb that scrolls from a marker’s name or from the cursor scrolls, and moves nothing', async (page) => {
  await open(page, ESTIMATED);
  const before = await said(page);
  const swipe = await finger(page);
  for (const right of [0, 30]) {
    const from = await middle(page);
    const top = await page.evaluate(() => window.scrollY);
    await swipe(from, right, -150);
    assert.ok((await page.evaluate(() => window.scrollY)) > top + 80, 'the page scrolls');
    assert.deepEqual(await said(page), before);
  }
  await page.locator('#cursor').scrollIntoViewIfNeeded();
  const box = await page.locator('#cursor').boundingBox();
  assert.ok(box);
  const top0 = await page.evaluate(() => window.scrollY);
  await swipe({ x: box.x + box.width / 2, y: box.y + box.height / 2 }, 0, -150);
  assert.ok((await page.evaluate(() => window.scrollY)) > top0 + 80, 'from the cursor too');

  await swipe(await middle(page), 60, 4);
  assert.match(String((await said(page))[0]), /by hand/, 'along the time axis it is moved');
}, { viewport: { width: 320, height: 640 }, hasTouch: true, isMobile: true });

onPage('a drag is of the recording it began on: neither the next nor what is left gets its time', async (page) => {
  await open(page, WITH_EVENTS);
  const name = (/** @type {string} */ which) => page.getByRole('button', { name: which, exact: true });
  await name(WITH_EVENTS[1]).click();
  await kit.settled(page);
  const second = (await said(page)).slice(0, 3);
  await name(WITH_EVENTS[0]).click();
  await kit.settled(page);
  const first = (await said(page))[0];

  let { x, y } = await middle(page);
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x - 20, y);
  await kit.settled(page);
  const put = (await said(page))[0];
  assert.notEqual(put, first);
  await page.keyboard.press('n');
  await kit.settled(page);
  await page.mouse.move(x - 60, y);
  await kit.settled(page);
  await page.keyboard.press('p');
  await kit.settled(page);
  await page.mouse.move(x - 90, y);
  await page.mouse.up();
  await kit.settled(page);
  assert.equal((await said(page))[0], put, 'it stays where it was put before the other was shown');
  await name(WITH_EVENTS[1]).click();
  await kit.settled(page);
  assert.deepEqual((await said(page)).slice(0, 3), second);
  assert.equal((await page.innerText('#undo')).trim(), `Undo setting top of ${WITH_EVENTS[0]}`);

  await name(WITH_EVENTS[0]).click();
  await kit.settled(page);
  ({ x, y } = await middle(page));
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x - 20, y);
  await kit.settled(page);
  await page.getByRole('button', { name: `Remove ${WITH_EVENTS[0]}` }).evaluate((e) => /** @type {HTMLElement} */ (e).click());
  await page.mouse.move(x - 60, y);
  await kit.settled(page);
  await page.mouse.move(x - 90, y);
  await page.mouse.up();
  await kit.settled(page);
  assert.deepEqual((await said(page)).slice(0, 3), second, 'nor does what is shown once it is gone');
});
