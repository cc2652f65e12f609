// One of everything a hand can do, undone step by step to the beginning and done again to the end: after each step the
// page shows what it showed there before.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';

import { drawn, lookedAt, step } from './films.mjs';
import * as kit from './kit.mjs';

const stage = kit.suite();

/** @typedef {import('playwright-core').Page} Page */

const [ONE, TWO, OTHER, THREE] = ['harbour-range-before-1.c3d', 'harbour-range-after-1.c3d', 'driver-right-1.c3d', 'three-swings.c3d'];

/** What a hand made, as the page shows it, whichever recording is looked at. @param {Page} page */
const shown = (page) =>
  page.evaluate(() => {
    const text = (/** @type {string} */ query) => [...document.querySelectorAll(query)].map((e) => (e.closest('[hidden]') ? '' : e.textContent));
    const value = (/** @type {string} */ id) => /** @type {HTMLInputElement | null} */ (document.getElementById(id))?.value;
    const press = (/** @type {string} */ id) => document.getElementById(id)?.click();
    // The words of a link are laid into their fields when its dialog is opened.
    press('send-open');
    const words = ['send-title-text', 'send-cue'].map(value);
    press('send-close');
    return {
      words,
      names: text('.recording .name'),
      states: [...document.querySelectorAll('.recording')].map((e) => /** @type {HTMLElement} */ (e).dataset.status),
      sets: [...document.querySelectorAll('.recording input[type="radio"]:checked')].map((e) => /** @type {HTMLInputElement} */ (e).value),
      asides: text('.aside-reason'),
      stops: text('.stop-says'),
      // Warnings of the recording that is looked at stand apart from the rest of what is said of it.
      notes: [...document.querySelectorAll('.recording')].map((e) => [...e.querySelectorAll('.notes li, .facts dl > div')].map((line) => line.textContent?.replace(/^careful ?/i, '')).sort()),
      rig: text('#rig'),
      fields: ['label-A', 'label-B', 'handed', 'mass', 'reference', 'low-pass', 'low-pass-hz', 'load-threshold', 'target'].map(value),
      quiet: /** @type {HTMLInputElement} */ (document.getElementById('zero-quiet')).checked,
      choices: ['design-paired', 'align-whole'].map((id) => document.querySelector(`#findings:not([hidden]) #${id}`)?.getAttribute('aria-pressed')),
      counted: text('#findings .counted'),
      findings: text('#findings-place'),
    };
  });

/** The same, with what every recording shows when it is looked at. @param {Page} page */
async function whole(page) {
  const each = [];
  const names = page.locator('.recording .name:enabled');
  for (let i = 0; i < (await names.count()); i += 1) {
    await names.nth(i).click();
    await kit.settled(page);
    each.push(
      await page.evaluate(() => {
        const text = (/** @type {string} */ query) => document.querySelector(query)?.textContent;
        const value = (/** @type {string} */ id) => /** @type {HTMLInputElement | null} */ (document.getElementById(id))?.value;
        return {
          events: text('#events'),
          measures: text('#measures-body'),
          film: text('#film-title'),
          lined: text('#film .film-controls [role="status"]'),
          rates: [text('#film-rates'), value('film-plays'), value('film-filmed')],
        };
      }),
    );
  }
  return { ...(await shown(page)), each };
}

/** Part by part, so that what differs is found. @param {Record<string, unknown>} actual @param {Record<string, unknown>} expected @param {string} when */
function alike(actual, expected, when) {
  for (const [part, value] of Object.entries(expected)) assert.deepEqual(actual[part], value, `${when}: ${part}`);
}

test('one of everything by hand, undone to the beginning and done again to the end', async () => {
  const { page, complaints, close } = await kit.open(stage.browser, stage.host.url);
  const film = await drawn(page);
  const recording = (/** @type {string} */ name) => page.locator('.recording').filter({ has: page.getByRole('button', { name, exact: true }) });
  const choose = async (/** @type {string} */ name) => {
    await page.getByRole('button', { name, exact: true }).click();
    await kit.settled(page);
  };
  const typed = async (/** @type {string} */ id, /** @type {string} */ text) => {
    await page.fill(id, text);
    await page.locator(id).blur();
  };
  let recordings = 6;
  /** @type {[string, () => Promise<unknown>][]} */
  const acts = [
    ['taking in', async () => kit.drop(page, await Promise.all([ONE, TWO, 'harbour-range.rig.json', OTHER, THREE].map(kit.sample)))],
    ['which hand', () => page.selectOption('#handed', 'left')],
    ['putting', () => recording(TWO).getByLabel('B', { exact: true }).check()],
    ['naming', () => typed('#label-B', 'stepping')],
    ['the body mass', () => typed('#mass', '70')],
    ['the point', () => page.selectOption('#reference', 'com')],
    ['the low-pass', () => page.selectOption('#low-pass', 'off')],
    ['the load threshold', () => typed('#load-threshold', '40')],
    ['the target', () => typed('#target', '3')],
    ['taking off', () => page.check('#zero-quiet')],
    ['moving top', async () => {
      await choose(ONE);
      await page.getByRole('slider', { name: 'top', exact: true }).press('Shift+ArrowLeft');
    }],
    ['taking back top', () => page.getByRole('slider', { name: 'top', exact: true }).press('Delete')],
    ['setting aside', async () => {
      await page.getByRole('button', { name: `Set aside… ${ONE}` }).click();
      await page.getByLabel(`Why ${ONE} is set aside`).fill('mishit');
      await page.keyboard.press('Enter');
    }],
    ['counting again', () => page.getByRole('button', { name: `Put back ${ONE}` }).click()],
    ['using all the same', () => page.getByRole('button', { name: `Use it all the same: ${OTHER}` }).click()],
    ['putting the film', async () => {
      await kit.drop(page, [{ name: 'harbour-range-before-1.webm', bytes: film }]);
      await lookedAt(page);
    }],
    ['how fast it was filmed', async () => {
      await page.locator('#film summary').click();
      await typed('#film-filmed', '240');
    }],
    ['how fast it plays', () => typed('#film-plays', '30')],
    ['lining up', async () => {
      await step(page, 5);
      await page.getByRole('button', { name: 'This frame is it' }).click();
    }],
    ['setting lead arm level from film', () => page.getByRole('button', { name: 'This frame is the moment of lead arm level' }).click()],
    ['moving the film', () => page.getByLabel('It shows').selectOption({ label: TWO })],
    ['another film in its place', async () => {
      await kit.drop(page, [{ name: 'harbour-range-after-1.webm', bytes: film }]);
      await page.getByText('Film, harbour-range-after-1.webm').waitFor();
      await lookedAt(page);
    }],
    ['removing the film', () => page.getByRole('button', { name: 'Remove the film' }).click()],
    ['removing a swing of several', () => {
      recordings = 5;
      return page.getByRole('button', { name: `Remove ${THREE}, swing 2 of 3` }).click();
    }],
    ['removing one with an event and a stop', async () => {
      await choose(OTHER);
      await page.getByRole('slider', { name: 'top', exact: true }).press('Shift+ArrowRight');
    }],
    ['removing it', () => {
      recordings = 4;
      return page.getByRole('button', { name: `Remove ${OTHER}` }).click();
    }],
    ['how they are compared', () => page.click('#align-whole')],
    ['words of the link', async () => {
      await page.click('#send-open');
      await page.fill('#send-cue', 'Step in, then turn.');
      await page.click('#send-close');
    }],
    ['a session in the place of all', async () => {
      const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save session to a file' }).click()]);
      const saved = JSON.parse((await readFile(await download.path())).toString());
      assert.equal(saved.holds.recordings.length, 4);
      recordings = 1;
      await page.setInputFiles('#session-input', [{ name: 'other.footing.json', mimeType: 'application/json', buffer: await another() }]);
    }],
  ];
  const pages = [await shown(page)];
  const words = [''];
  for (const [what, act] of acts) {
    const earlier = await page.locator('#undo').textContent();
    await act();
    await page.waitForFunction((old) => document.querySelector('#undo')?.textContent !== old, earlier).catch(() => {
      throw new Error(`${what} is no step: ${earlier}`);
    });
    await kit.ready(page, recordings);
    pages.push(await shown(page));
    words.push((await page.innerText('#undo')).trim());
  }
  const end = await whole(page);
  for (let i = acts.length; i > 0; i -= 1) {
    assert.equal((await page.innerText('#undo')).trim(), words[i], `what would be undone after: ${acts[i - 1][0]}`);
    await page.click('#undo');
    await kit.ready(page, pages[i - 1].names.length);
    alike(await shown(page), pages[i - 1], `as before ${acts[i - 1][0]}`);
  }
  assert.equal(await page.isDisabled('#undo'), true, 'the beginning');
  for (let i = 1; i <= acts.length; i += 1) {
    await page.click('#redo');
    await kit.ready(page, pages[i].names.length);
    alike(await shown(page), pages[i], `again after ${acts[i - 1][0]}`);
  }
  assert.equal(await page.isDisabled('#redo'), true, 'the end');
  alike(await whole(page), end, 'the end');
  assert.deepEqual(complaints, [], 'the page complains about nothing');
  await close();
});

/** A session of one recording, saved by another page. */
async function another() {
  const { page, close } = await kit.open(stage.browser, stage.host.url);
  await kit.drop(page, [await kit.sample('harbour-range-before-2.c3d')]);
  await kit.ready(page, 1);
  await page.keyboard.press('t');
  await page.keyboard.press('Shift+ArrowLeft');
  await kit.settled(page);
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save session to a file' }).click()]);
  const bytes = await readFile(await download.path());
  await close();
  return bytes;
}

test('a recording that is removed comes back with its events, its reasons and its film lined up', async () => {
  const { page, complaints, close } = await kit.open(stage.browser, stage.host.url);
  await page.selectOption('#handed', 'left');
  await kit.drop(page, [await kit.sample(ONE), await kit.sample(OTHER), { name: 'harbour-range-before-1.webm', bytes: await drawn(page) }]);
  await kit.ready(page, 2);
  await lookedAt(page);
  await step(page, 5);
  await page.getByRole('button', { name: 'This frame is it' }).click();
  await page.getByRole('button', { name: 'This frame is the moment of lead arm level' }).click();
  await page.getByRole('button', { name: `Set aside… ${ONE}` }).click();
  await page.getByLabel(`Why ${ONE} is set aside`).fill('mishit');
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: `Use it all the same: ${OTHER}` }).click();
  await kit.settled(page);
  const before = await whole(page);
  for (const said of [/Lined up by the moment under the cursor/, /lead arm level, from film/, /mishit/]) assert.match(JSON.stringify(before), said);
  for (const name of [ONE, OTHER]) await page.getByRole('button', { name: `Remove ${name}` }).click();
  await page.waitForFunction(() => document.querySelectorAll('.recording').length === 0);
  for (const left of [1, 2]) {
    await page.click('#undo');
    await kit.ready(page, left);
  }
  await page.getByRole('button', { name: ONE, exact: true }).click();
  await lookedAt(page);
  alike(await whole(page), before, 'back');
  assert.deepEqual(complaints, []);
  await close();
});
