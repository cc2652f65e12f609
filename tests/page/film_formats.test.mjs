// Films of every kind: what this browser can write it also takes; what it cannot play is said in one sentence and
// changes nothing; frames that come unevenly are stepped one by one; a film goes where it belongs.

import assert from 'node:assert/strict';

import { drawn, EVENLY_MS, filmNow, lookedAt, numberSeen, recorded, step } from './films.mjs';
import * as kit from './kit.mjs';

const { onPage } = kit.suite();

/** @typedef {import('playwright-core').Page} Page */

/** @param {Page} page @param {string[]} names */
async function recordings(page, ...names) {
  await kit.drop(page, await Promise.all(names.map(kit.sample)));
  await kit.ready(page, names.length);
}

/** The sentences about refused files. @param {Page} page */
const faults = (page) => page.locator('#refused li span').allInnerTexts();

for (const type of ['video/webm;codecs=vp8', 'video/webm;codecs=vp9', 'video/mp4;codecs=avc1.42E01E', 'video/mp4;codecs=vp9', 'video/mp4;codecs=av01']) {
  onPage(`a film of ${type} is taken and stepped`, async (page, t) => {
    const film = await recorded(page, type);
    if (!film) {
      assert.notEqual(type, 'video/webm;codecs=vp8', 'at least this must be written');
      t.skip('this browser cannot write it');
      return;
    }
    await recordings(page, 'harbour-range-before-1.c3d');
    await kit.drop(page, [{ name: `harbour-range-before-1.${type.includes('mp4') ? 'mp4' : 'webm'}`, bytes: film }]);
    await lookedAt(page);
    // A recorder on a busy machine leaves pictures out: on, each number is a later one, and back, they are the same.
    const on = [await numberSeen(page)];
    for (let i = 0; i < 5; i += 1) {
      await step(page, 1);
      on.push(await numberSeen(page));
      assert.ok(on[i + 1] > on[i], on.join(' '));
    }
    for (let i = 4; i >= 0; i -= 1) {
      await step(page, -1);
      assert.equal(await numberSeen(page), on[i], on.join(' '));
    }
  });
}

onPage('what this browser cannot play is said in one sentence and takes the place of nothing', async (page) => {
  await recordings(page, 'harbour-range-before-1.c3d');
  const good = await drawn(page);
  await kit.drop(page, [{ name: 'harbour-range-before-1.webm', bytes: good }]);
  await lookedAt(page);
  const [title, undoing, measures] = await Promise.all(['#film-title', '#undo', '#measures-body'].map((query) => page.innerText(query)));
  const broken = Buffer.from(good);
  broken.fill(0x55, 40);
  const cases = /** @type {[string, Buffer, RegExp][]} */ ([
    ['harbour-range-before-1.mp4', Buffer.from('no film at all'), /^harbour-range-before-1\.mp4: this browser cannot play it \(.+\), expected a film such as MP4 with H\.264, or WebM; try exporting it as one of them$/],
    ['corrupt.webm', broken, /^corrupt\.webm: this browser cannot play it \(.+\), expected a film/],
    ['cut.webm', good.subarray(0, 60), /^cut\.webm: this browser cannot play it \(.+\), expected a film/],
    ['empty.mov', Buffer.alloc(0), /^empty\.mov: the file is empty, expected a film .*; try copying or exporting it again$/],
  ]);
  // A codec that no browser has, in a container that it reads: the name of the coding is another in an else good film.
  const mp4 = await recorded(page, 'video/mp4;codecs=avc1.42E01E');
  const sounding = await recorded(page, 'video/mp4;codecs=avc1.42E01E,opus', true);
  if (mp4) cases.push(['coded.mp4', recoded(mp4), /^coded\.mp4: this browser cannot play it \(.+\), expected a film/]);
  if (sounding) cases.push(['sounding.mp4', recoded(sounding), /^sounding\.mp4: this browser can(not play it| play its sound but not its pictures) \(.+\), expected a film/]);
  for (const [name, bytes, sentence] of cases) {
    await kit.drop(page, [{ name, bytes }]);
    await page.waitForFunction((n) => document.querySelector('#refused li span')?.textContent?.startsWith(n), name);
    await kit.settled(page);
    const said = await faults(page);
    assert.equal(said.length, 1, said.join(' | '));
    assert.match(said[0], sentence);
    assert.equal(await page.innerText('#film-title'), title, 'the film that was there stays');
    assert.equal(await page.innerText('#undo'), undoing, 'nothing was done that could be undone');
    assert.equal(await page.innerText('#measures-body'), measures, 'the recording is as it was');
  }
  await step(page, 2);
});

/** The same film, said to be coded otherwise. @param {Buffer} mp4 */
function recoded(mp4) {
  const at = mp4.indexOf('avc1', mp4.indexOf('stsd'));
  assert.ok(at > 0);
  const other = Buffer.from(mp4);
  other.write('ap4h', at);
  return other;
}

onPage('a film that breaks later is said, and belongs to no step', async (page) => {
  await recordings(page, 'harbour-range-before-1.c3d');
  const measures = await page.innerText('#measures-body');
  const film = await drawn(page);
  // The picture that the tenth to the nineteenth frame rest on is other bytes: what is before it plays.
  const cluster = Buffer.from([0x1f, 0x43, 0xb6, 0x75]);
  const broken = Buffer.from(film);
  const key = film.indexOf(0xa3, film.indexOf(cluster, film.indexOf(cluster) + 1) + 20) + 13;
  broken.fill(0xff, key, key + 50);
  await kit.drop(page, [{ name: 'swing.webm', bytes: broken }]);
  await page.locator('#refused').getByText(/^swing\.webm: this browser cannot play it any further \(.+\), expected a film such as .*try dropping it again/).waitFor();
  await page.waitForFunction(() => document.querySelector('#undo')?.textContent === 'Undo taking in harbour-range-before-1.c3d');
  assert.equal(await page.locator('#film video').count(), 0);
  assert.equal(await page.innerText('#measures-body'), measures);
});

const GAPS_MS = [40, 40, 20, 40, 70, 40, 40, 105, 33, 40, 20, 20, 40, 90, 40, 40, 40, 60, 40, 25];
const UNEVENLY_MS = GAPS_MS.reduce((all, gap) => [...all, (all.at(-1) ?? 0) + gap], [0]);

onPage('frames that come unevenly are stepped one by one, and the doubt is that of the widest gap', async (page) => {
  await recordings(page, 'harbour-range-before-1.c3d');
  await kit.drop(page, [{ name: 'swing.webm', bytes: await drawn(page, UNEVENLY_MS) }]);
  await lookedAt(page);
  for (const [n, at_ms] of UNEVENLY_MS.entries()) {
    assert.equal(await numberSeen(page), n);
    assert.ok(Math.abs((await filmNow(page)) - at_ms / 1000) < 0.0015, `frame ${n} at ${at_ms} ms`);
    if (n < UNEVENLY_MS.length - 1) await step(page, 1);
  }
  for (let n = UNEVENLY_MS.length - 2; n >= 8; n -= 1) {
    await step(page, -1);
    assert.equal(await numberSeen(page), n, 'back');
  }
  assert.match(await page.innerText('#film'), /They come unevenly, up to 105 ms apart: a frame shows an instant to ± 53 ms/);
  await page.getByRole('button', { name: 'This frame is it' }).click();
  await page.getByRole('button', { name: 'This frame is impact' }).click();
  await kit.settled(page);
  // Half of 105 ms for this frame, as much for the shared one, half a sample of 4 ms for the cursor.
  assert.match(await page.innerText('#events'), /impact, from film, \d\.\d{3} s ± 107 ms/);
});

onPage('a film of more frames a second than a screen shows is measured all the same', async (page) => {
  await recordings(page, 'harbour-range-before-1.c3d');
  await kit.drop(page, [{ name: 'swing.webm', bytes: await drawn(page, EVENLY_MS.map((t) => t / 10)) }]);
  await lookedAt(page);
  assert.match(await page.innerText('#film'), /250 frames a second of the swing, measured: a frame shows an instant to ± 2\.0 ms/);
  for (const frames of [1, 2, 10]) {
    const before = await numberSeen(page);
    await step(page, frames);
    assert.equal(await numberSeen(page), before + frames);
  }
});

onPage('a film that does not say whose it is waits for a hand, and is moved to the recording it shows', async (page) => {
  const [one, two] = ['harbour-range-before-1.c3d', 'harbour-range-before-2.c3d'];
  await recordings(page, one, two);
  const film = await drawn(page);
  await kit.drop(page, [{ name: 'first.webm', bytes: film }, { name: 'second.webm', bytes: film }]);
  await page.locator('#refused').getByText(/^second\.webm: it does not say whose swing it shows, expected a film named as its recording is, or one film at a time/).waitFor();
  assert.equal(await page.locator('#film video').count(), 0, 'neither was put anywhere by guessing');
  await kit.drop(page, [{ name: 'first.webm', bytes: film }]);
  await lookedAt(page);
  await step(page, 4);
  await page.getByRole('button', { name: 'This frame is it' }).click();
  await kit.settled(page);
  await page.getByLabel('It shows').selectOption({ label: two });
  await page.waitForFunction((name) => document.querySelector('.recording.selected .name')?.textContent === name, two);
  await page.getByText('Not lined up yet').waitFor();
  assert.match(await page.innerText('#film-title'), /first\.webm/);
  assert.equal(await page.innerText('#undo'), `Undo moving the film first.webm to ${two}`);
  await page.click('#undo');
  await page.getByRole('button', { name: one, exact: true }).click();
  await page.getByText(/^Lined up by the moment under the cursor/).waitFor();
  assert.match(await page.innerText('#film-title'), /first\.webm/);
});
