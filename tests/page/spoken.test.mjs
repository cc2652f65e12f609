// What a screen reader is told: the numbers that stand on the page, and one sentence where many files are refused.

import assert from 'node:assert/strict';

import * as kit from './kit.mjs';

/** @typedef {import('playwright-core').Page} Page */

const { onPage } = kit.suite();

/** The spoken line, once it rests. @param {Page} page */
async function spoken(page) {
  await kit.settled(page);
  await page.waitForTimeout(500);
  return (await page.locator('#readout').textContent()) ?? '';
}


onPage('what is under a cursor that rests is told anew when a setting changes it', async (page) => {
  await kit.drop(page, [await kit.sample('driver-right-1.c3d')]);
  await kit.ready(page, 1);
  await page.focus('#cursor');
  await page.keyboard.press('ArrowRight');
  const seen = async () => (await page.locator('#charts .value').allTextContents()).map((text) => text.replace(/^.*? (?=[−\d])/, ''));
  const told = new Set([await spoken(page)]);
  for (const [what, value] of [['#reference', 'com'], ['#low-pass', 'off'], ['#handed', 'left']]) {
    await page.selectOption(what, value);
    const said = await spoken(page);
    for (const number of await seen()) assert.ok(said.includes(number), `${value}: ${number} is seen, told is ${said}`);
    told.add(said);
  }
  assert.equal(told.size, 4, 'each of the settings changes what is under the cursor');
});

onPage('many refused files are told in one sentence, and stand in a list that is dismissed at once', async (page) => {
  await page.evaluate(() => {
    const alerts = /** @type {string[]} */ ([]);
    Object.assign(window, { alerts });
    // What a screen reader would speak: whatever changes in a place that alerts, or such a place that comes.
    new MutationObserver((changes) => {
      for (const { target, addedNodes } of changes) {
        const place = /** @type {Element} */ (target).closest?.('[role="alert"]');
        const came = [...addedNodes].flatMap((n) => (n instanceof Element ? [...(n.matches('[role="alert"]') ? [n] : []), ...n.querySelectorAll('[role="alert"]')] : []));
        for (const one of place ? [place] : came) if (one.textContent) alerts.push(one.textContent);
      }
    }).observe(document.body, { subtree: true, childList: true });
  });
  const alerts = () => page.evaluate(() => /** @type {any} */ (window).alerts);
  await kit.drop(page, Array.from({ length: 59 }, (_, i) => kit.written(`letter-${i}.c3d`, `Dear coach ${i}`)));
  await page.waitForFunction(() => document.querySelectorAll('#refused li').length === 59);
  await page.waitForFunction(() => /** @type {any} */ (window).alerts.length > 0);
  await kit.settled(page);
  await page.waitForTimeout(500);
  assert.deepEqual(await alerts(), ['59 files were not read; why stands in the list of refused files']);
  const list = await page.locator('#refused').boundingBox();
  assert.ok(list && list.height < 500, `the list is ${list?.height} pixels high`);
  // One more is told as itself; what stands there is not told again.
  await kit.drop(page, [kit.written('late.c3d', 'Dear coach')]);
  await page.waitForFunction(() => /** @type {any} */ (window).alerts.length > 1);
  const [, late, ...more] = await alerts();
  assert.match(late, /^late\.c3d: /);
  assert.deepEqual(more, []);
  await page.getByRole('button', { name: 'Dismiss all 60' }).click();
  await kit.settled(page);
  assert.equal(await page.locator('#refused li').count(), 0);
  assert.ok(await page.locator('#refused-all').isHidden());
  assert.equal(await page.evaluate(() => document.activeElement?.id), 'reading');
});
