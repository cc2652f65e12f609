// The table of findings, of this page's recordings or of a link.

import { follow, make, write } from './dom.js';
import { allButton, firstRows } from './fold.js';
import { changed } from './state.js';
import { swings } from './svg.js';

/** @typedef {import('./state.js').Finding} Finding */
/** @typedef {import('./state.js').Said} Said */

const INTERVAL = '95 % interval';
const HEADS = ['measure', 'A', 'B', 'change', INTERVAL, 'ordinary spread', 'swings', 'verdict'];

/** The detail of a row that tells of a swing far from its set. */
const ODD = 'worth a second look';

/** What the signs of the small pictures mean. */
const SIGNS =
  'Small pictures: rings are swings of A, squares are swings of B, strokes through them their means; the bar with ends is the 95 % interval of the change, laid at the mean of A; the shaded band is what single swings differ by anyway.';

/** The same where no single swings are known. */
const SIGNS_OF_A_LINK =
  'Small pictures: the upper stroke is the mean of A, the lower that of B; the bar with ends is the 95 % interval of the change, laid at the mean of A; the shaded band is what single swings differ by anyway.';

/**
 * A table that follows what is said; `place` gets the table, its caption and its notes.
 * @param {HTMLElement} place
 * @param {string} prefix of the ids in it
 */
export function findingTable(place, prefix) {
  const open = new Set();
  const heads = HEADS.map((text) => make('th', { scope: 'col' }, text));
  const body = make('tbody');
  const counted = make('p', { class: 'aside counted' });
  const signs = make('p', { class: 'aside' });
  const notes = make('ul', { class: 'comparison-notes', 'aria-label': 'Notes on the comparison' });
  const table = make('table', { class: 'finding-table' }, make('thead', {}, make('tr', {}, ...heads)), body);
  const all = allButton();
  const few = firstRows(table, all, '[data-finding]', 'measures');
  place.append(counted, table, all, signs, notes);

  /** @param {Finding} row */
  const create = (row) => {
    const button = make(
      'button',
      {
        type: 'button',
        class: 'measure',
        'aria-expanded': 'false',
        'aria-controls': `${prefix}-${row.id}`,
        onclick: () => {
          if (!open.delete(row.id)) open.add(row.id);
          changed();
        },
      },
      row.label,
      make('span', { class: 'unit' }),
    );
    const cells = HEADS.slice(1).map((head) => make('td', { 'data-label': head, class: head === INTERVAL ? 'whole' : '' }));
    return make('tr', { 'data-finding': row.id }, make('th', { scope: 'row' }, button), ...cells);
  };

  /** @param {HTMLElement} element @param {Finding} row */
  const update = (element, row) => {
    const absent = row.verdict_id === 'absent';
    element.dataset.verdict = row.verdict_id;
    element.querySelector('button')?.setAttribute('aria-expanded', String(open.has(row.id)));
    write(/** @type {HTMLElement} */ (element.querySelector('.unit')), row.unit === '' ? '' : ` ${row.unit}`);
    const [, a, b, change, interval, spread, picture, verdict] = /** @type {HTMLElement[]} */ ([...element.children]);
    for (const [cell, text] of /** @type {[HTMLElement, string][]} */ ([[a, row.a], [b, row.b], [change, row.change], [interval, row.interval], [spread, row.spread]])) {
      write(cell, text);
      cell.className = cell === interval ? 'number whole' : 'number';
      cell.hidden = absent;
    }
    picture.hidden = absent;
    picture.className = 'picture';
    // Drawn anew only when its numbers are others.
    const drawn = JSON.stringify(row.picture);
    if (picture.dataset.drawn !== drawn) {
      picture.dataset.drawn = drawn;
      picture.replaceChildren(...(row.picture ? [swings(row.picture)] : []));
    }
    verdict.className = 'verdict';
    if (absent) verdict.setAttribute('colspan', String(HEADS.length - 1));
    else verdict.removeAttribute('colspan');
    write(verdict, absent ? `absent: ${row.verdict}` : row.verdict + (row.estimated ? ', read at estimated events' : ''));
  };

  /** What a measure means, and everything else about its change, under its row. @param {Finding} row */
  const explain = (row) => {
    const [meaning, formula, source] = row.definition;
    const parts = /** @type {[string, string | Node][]} */ ([
      ['meaning', meaning],
      ['formula', formula],
      ['source', source],
      ...row.details,
      ['name in files', make('code', {}, row.id)],
    ]);
    const list = make('dl', {}, ...parts.map(([name, text]) => make('div', {}, make('dt', {}, name), make('dd', {}, text))));
    return make('tr', { id: `${prefix}-${row.id}`, class: 'more' }, make('td', { colspan: String(HEADS.length) }, list));
  };

  return (/** @type {Said} */ said) => {
    const [a, b] = said.sets;
    const swingsOf = (/** @type {{swings: number}} */ set) => `${set.swings} swing${set.swings === 1 ? '' : 's'}`;
    write(heads[1], `A, ${a.label}`);
    write(heads[2], `B, ${b.label}`);
    write(heads[4], said.paired ? `${INTERVAL}, in pairs` : INTERVAL);
    const single = said.rows.some((row) => row.picture && row.picture.a.length > 0);
    write(signs, single ? SIGNS : SIGNS_OF_A_LINK);
    write(counted, `${said.counted} measures read at once. A, ${a.label}: ${swingsOf(a)}; B, ${b.label}: ${swingsOf(b)}. What changed most beyond ordinary spread comes first.`);
    const lines = said.rows.flatMap((row) => [{ row, more: '' }, ...(open.has(row.id) ? [{ row, more: ` more ${JSON.stringify(row.details)}` }] : [])]);
    follow(
      body,
      lines,
      ({ row, more }) => row.id + more,
      ({ row, more }) => (more ? explain(row) : create(row)),
      (element, { row, more }) => {
        if (!more) update(element, row);
      },
    );
    few();
    // Only who has the single swings can say that one of them stands apart.
    const odd = said.rows.flatMap((row) => row.details.filter(([name]) => name === ODD).map(([, text]) => `${row.label}: ${text}`));
    const apart = odd.length === 0 ? [] : [`Worth a second look before anything is made of it: ${odd.join('; ')}.`];
    follow(
      notes,
      [...said.notes.map((note) => note.text), ...apart],
      (text) => text,
      (text) => make('li', {}, text),
      () => {},
    );
  };
}
