// The page as `cargo xtask serve` gives it, by its own server and under its own headers: the other
// checks have a plain host that counts what is asked of it.

import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';

import * as kit from './kit.mjs';

const url = process.env.FOOTING_URL ?? '';
if (!url) throw new Error('expected FOOTING_URL, where the built page is served: start this by `cargo xtask test --only page`');

let browser = /** @type {import('playwright-core').Browser} */ (/** @type {unknown} */ (null));
before(async () => {
  browser = await kit.browse();
});
after(() => browser.close());

test('six pages opened at once are all ready, and the sample is one click away on each', async () => {
  const opened = await Promise.all(Array.from({ length: 6 }, () => kit.open(browser, url)));
  for (const { page, complaints, close } of opened) {
    await page.getByRole('button', { name: 'Open the sample swings' }).click();
    await kit.ready(page, 12);
    assert.match((await page.locator('#measures-body tr[data-measure="body_mass_kg"]').textContent()) ?? '', /kg/);
    assert.deepEqual(complaints, [], 'the page complains about nothing under the headers it is served with');
    await close();
  }
});

test('the headers forbid what the page forbids itself, and to be framed', async () => {
  const { page, close } = await kit.open(browser, url);
  const answer = await page.request.get(url);
  const policy = answer.headers()['content-security-policy'] ?? '';
  const stated = await page.locator('meta[http-equiv="Content-Security-Policy"]').first().getAttribute('content');
  for (const rule of (stated ?? '').split(';').map((part) => part.trim().replace(/\s+/g, ' '))) {
    assert.ok(policy.split('; ').includes(rule), `${rule} is in ${policy}`);
  }
  assert.match(policy, /default-src 'none'/);
  assert.match(policy, /frame-ancestors 'none'/);
  await close();
});
