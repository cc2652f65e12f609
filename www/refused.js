// What could not be read, and why: seen as a list, said once.

import { at, follow, make, write } from './dom.js';
import { changed, onChange, state } from './state.js';
import { remove } from './work.js';

/** Sentences that come within this are said as one. */
const TOGETHER_MS = 300;
/** From so many on they can be dismissed all at once. */
const MANY = 3;

/** @typedef {{key: string, text: string, clear: () => void}} Problem */

/** @returns {Problem[]} */
const problems = () => [
  ...(state.fault ? [{ key: 'fault', text: state.fault, clear: () => void (state.fault = '') }] : []),
  ...state.rigProblems.map((p, i) => ({ key: `rig${i}`, text: p.text, clear: () => void state.rigProblems.splice(state.rigProblems.indexOf(p), 1) })),
  ...state.recordings.filter((r) => r.status === 'refused').map((r) => ({ key: `r${r.id}`, text: r.problem, clear: () => remove(r) })),
];

/** One sentence for a screen reader, however many came. */
function mountSaying() {
  const place = at('refused-says', HTMLParagraphElement);
  let said = new Set();
  let timer = 0;
  /** @param {Problem[]} all */
  return (all) => {
    const texts = new Set(all.map((p) => p.text));
    // What was dismissed and comes again is said again.
    said = new Set([...said].filter((text) => texts.has(text)));
    if (texts.size === 0) write(place, '');
    if (state.busy !== '' || [...texts].every((text) => said.has(text))) return;
    window.clearTimeout(timer);
    timer = window.setTimeout(() => {
      const fresh = problems().filter(({ text }) => !said.has(text));
      if (fresh.length === 0) return;
      said = new Set([...said, ...fresh.map(({ text }) => text)]);
      const files = fresh.filter(({ key }) => key !== 'fault');
      const each = files.length > 1 ? fresh.filter(({ key }) => key === 'fault') : fresh;
      const sum = files.length > 1 ? [`${files.length} files were not read; why stands in the list of refused files`] : [];
      write(place, [...each.map(({ text }) => text), ...sum].join('. '));
    }, TOGETHER_MS);
  };
}

export function mountRefused() {
  const refused = at('refused', HTMLUListElement);
  const all = at('refused-all', HTMLButtonElement);
  all.addEventListener('click', () => {
    for (const { clear } of problems()) clear();
    at('reading', HTMLElement).focus();
    changed();
  });
  const say = mountSaying();
  onChange(() => {
    const now = problems();
    follow(
      refused,
      now,
      (p) => p.key,
      () => make('li', {}, make('span', {}), make('button', { type: 'button', class: 'quiet remove', 'aria-label': 'Dismiss' }, '×')),
      (element, { text, clear }) => {
        write(/** @type {HTMLElement} */ (element.firstElementChild), text);
        /** @type {HTMLElement} */ (element.lastElementChild).onclick = () => {
          clear();
          changed();
        };
      },
    );
    refused.hidden = now.length === 0;
    all.hidden = now.length < MANY;
    write(all, `Dismiss all ${now.length}`);
    say(now);
  });
}
