// The receiver's page: what the address holds, in plain words first, everything else below.

import { at, make, write } from './dom.js';
import { ask, needWhole } from './engine.js';
import { findingTable } from './finding_table.js';
import { isLink, keepOffline } from './offline.js';
import { pictures } from './pictures.js';
import { changed, onChange, state } from './state.js';

/** Where the reader of the analysis page was, to come back to. */
let left = 0;

/** Reads a link. @param {string} text @returns {Promise<any>} */
async function openLink(text) {
  await needWhole();
  return ask('openLink', { text });
}

/**
 * What the numbers rest on, in plain words.
 * @param {import('./state.js').Said} said
 */
function certain(said) {
  const swings = (/** @type {number} */ n) => `${n} swing${n === 1 ? '' : 's'}`;
  const [a, b] = said.sets.map(({ label, overruled }) => `of “${label}”${overruled === 0 ? '' : ` (${overruled} of them against a note that says stop)`}`);
  const counted = `${swings(said.sets[0].swings)} ${a} and ${said.sets[1].swings} ${b} were compared`;
  const ordinary = 'than two swings differ in nineteen of twenty cases when nothing has changed';
  const verdicts = new Set(said.rows.map((row) => row.verdict_id));
  if (verdicts.has('clear')) return `${counted}: a clear change is larger ${ordinary}, and whether it lasts, only another day can show.`;
  verdicts.delete('absent');
  if (verdicts.size === 1 && verdicts.has('few')) return `${counted}: too few to say whether anything changed.`;
  return `${counted}: no change is shown that is larger ${ordinary}.`;
}

/** What is wrong with a link, in one sentence. @param {unknown} error */
const said = (error) => (error instanceof Error ? error.message : String(error));

/** Moves the focus to what the page has turned to, once it is to be seen. @param {string} query */
function turnTo(query) {
  requestAnimationFrame(() => {
    const heading = /** @type {HTMLElement | null} */ (document.querySelector(query));
    if (!heading) return;
    heading.tabIndex = -1;
    heading.focus({ preventScroll: true });
  });
}

/**
 * Shows what the address says: a received comparison, or the page for recordings.
 * @param {boolean} turned whether the page was there before: then the focus goes along
 */
async function follow(turned) {
  const before = state.received !== null;
  if (!isLink(location.hash)) {
    if (!before) return;
    state.received = null;
    changed();
    requestAnimationFrame(() => window.scrollTo(0, left));
    turnTo('#reading');
    return;
  }
  if (!before) left = window.scrollY;
  const address = location.hash;
  const received = await openLink(address).catch((error) => ({ problem: said(error) }));
  // Whoever went on meanwhile is not called back.
  if (location.hash !== address) return;
  state.received = received;
  changed();
  window.scrollTo(0, 0);
  if (turned) turnTo('#received > :not([hidden]) h2');
  void keepOffline();
}

export function mountReceived() {
  const analysis = at('main', HTMLElement);
  const place = at('received', HTMLElement);
  const found = at('received-found', HTMLDivElement);
  const broken = at('received-broken', HTMLDivElement);
  const closer = at('received-closer', HTMLDetailsElement);
  const draw = pictures(at('received-pictures', HTMLDivElement), at('received-curves', HTMLDivElement));
  const table = findingTable(at('received-table', HTMLDivElement), 'received');
  const sentences = [...found.querySelectorAll('[data-sentence]')];
  const again = at('received-again', HTMLInputElement);

  at('received-form', HTMLFormElement).addEventListener('submit', (event) => {
    event.preventDefault();
    const text = again.value.trim();
    const start = text.search(/#f\d+[=:]/i);
    // A text without a link is refused in the same words as a damaged link.
    if (start < 0) {
      openLink(text).catch((error) => write(at('received-problem', HTMLParagraphElement), said(error)));
      return;
    }
    again.value = '';
    const fragment = text.slice(start + 1);
    if (location.hash === `#${fragment}`) follow(true);
    else location.hash = fragment;
  });
  // Files that are dropped are recordings: the page for them comes back.
  window.addEventListener('drop', () => {
    if (state.received) location.hash = '';
  });
  closer.addEventListener('toggle', changed);
  window.addEventListener('hashchange', () => follow(true));

  onChange(() => {
    const now = state.received;
    place.hidden = !now;
    analysis.hidden = now !== null;
    document.documentElement.dataset.view = now ? 'received' : 'analysis';
    if (!now) {
      document.title = 'Footing: how a golfer uses the ground';
      return;
    }
    const problem = 'problem' in now ? now.problem : '';
    broken.hidden = problem === '';
    found.hidden = problem !== '';
    write(at('received-problem', HTMLParagraphElement), problem);
    write(at('context', HTMLParagraphElement), '');
    write(at('about', HTMLParagraphElement), '');
    if ('problem' in now) {
      document.title = 'Footing: a link that cannot be opened';
      return;
    }
    const { words, said } = now;
    document.title = words.title ? `Footing: ${words.title}` : 'Footing: two sets of swings';
    write(at('received-title', HTMLParagraphElement), words.title ?? '');
    at('received-title', HTMLParagraphElement).hidden = words.title === null;
    for (const [i, text] of said.sentences.entries()) write(sentences[i], text);
    write(at('received-certain', HTMLParagraphElement), certain(said));
    at('received-cue-place', HTMLElement).hidden = words.cue === null;
    write(at('received-cue', HTMLParagraphElement), words.cue ?? '');
    draw(now);
    if (closer.open) table(said);
    at('received-holds', HTMLElement).replaceChildren(...words.holds.map(([name, text]) => make('div', {}, make('dt', {}, name), make('dd', {}, text))));
    write(at('received-about', HTMLParagraphElement), `Torque and impulse ${now.compared.about}. ${said.linear ? 'Swings are laid over each other takeaway to impact.' : 'Swings are laid over each other at takeaway, top and impact.'}`);
  });
  follow(false);
}
