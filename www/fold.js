// What takes much room is folded on narrow screens: a part of the page to one line, a long table to its first rows.

import { at, make, write } from './dom.js';
import { onChange } from './state.js';

const narrow = window.matchMedia('(max-width: 50rem)');

/** Rows of a long table that a narrow screen shows at first. */
const FIRST = 10;

/**
 * Folds a section to its heading and one line, which opens it; on a wide screen it is always open.
 * @param {string} id of the section @param {() => string} sum what the line says @param {() => boolean} closed whether it is
 * folded while nobody opened or closed it
 */
export function foldable(id, sum, closed) {
  const section = at(id, HTMLElement);
  const button = at(`${id}-fold`, HTMLButtonElement);
  let open = /** @type {boolean | null} */ (null);
  const folded = () => narrow.matches && !(open ?? !closed());
  const view = () => {
    const now = folded();
    // The focus never stays on what is no longer to be seen.
    if (now && section.dataset.folded !== 'yes' && document.activeElement !== button && section.contains(document.activeElement)) button.focus();
    section.dataset.folded = now ? 'yes' : 'no';
    button.setAttribute('aria-expanded', String(!now));
    write(button, sum());
  };
  button.addEventListener('click', () => {
    open = folded();
    view();
  });
  narrow.addEventListener('change', view);
  onChange(view);
}

/**
 * Marks the rows of a table beyond the first; on a narrow screen they show once `button` was pressed.
 * @param {HTMLTableElement} table @param {HTMLButtonElement} button @param {string} rows selects a row that counts
 * @param {string} what they are
 */
export function firstRows(table, button, rows, what) {
  button.addEventListener('click', () => {
    table.dataset.all = '';
    button.hidden = true;
    /** @type {HTMLElement | null} */ (table.querySelector('[data-late] button'))?.focus();
  });
  return () => {
    let count = 0;
    for (const row of table.tBodies[0].rows) {
      if (row.matches(rows)) count += 1;
      row.toggleAttribute('data-late', count > FIRST);
    }
    button.hidden = count <= FIRST || 'all' in table.dataset;
    write(button, `Show all ${count} ${what}`);
  };
}

/** The button of {@link firstRows}. */
export const allButton = () => make('button', { type: 'button', class: 'show-all', hidden: true });
