// The table of measures; each row opens its definition, formula and source.

import { cautionLine, inWords, marked, ofSelected, ofSet as warnsOf, updateCautions } from './careful.js';
import { at, follow, make, write } from './dom.js';
import { firstRows } from './fold.js';
import { changed, counts, fact, idsOf, labelOf, onChange, selected, shown, state } from './state.js';

/** @typedef {import('./state.js').Row} Row */

/** @param {import('./engine.js').Definition[]} definitions */
export function mountTable(definitions) {
  const meaning = new Map(definitions.map((d) => [d.id, d]));
  const body = at('measures-body', HTMLTableSectionElement);
  const few = firstRows(at('measures-table', HTMLTableElement), at('measures-all', HTMLButtonElement), '[data-measure]', 'measures');

  /** @param {Row} row */
  const press = (row) => {
    if (!state.open.delete(row.id)) state.open.add(row.id);
    changed();
  };

  /** @param {Row} row */
  const create = (row) => {
    const button = make(
      'button',
      {
        type: 'button',
        class: 'measure',
        'aria-expanded': 'false',
        'aria-controls': `more-${row.id}`,
        onclick: () => press(row),
      },
      row.label,
    );
    return make(
      'tr',
      { 'data-measure': row.id },
      make('th', { scope: 'row' }, button),
      make('td', { class: 'number', 'data-label': 'this' }),
      make('td', { class: 'unit' }),
      make('td', { class: 'number of-A' }),
      make('td', { class: 'number of-B' }),
      make('td', { class: 'remark' }),
    );
  };

  /** What the means of A and B rest on. @param {Row} row */
  const estimates = (row) => {
    const sets = /** @type {const} */ ([['A', row.a], ['B', row.b]]);
    return withSets() ? sets.filter(([, of]) => of.estimated !== '').map(([set, of]) => /** @type {[string, string]} */ ([`${set}, ${labelOf(set)}`, of.estimated])) : [];
  };

  /** What a measure means, under its row. @param {Row} row */
  const explain = (row) => {
    const definition = meaning.get(row.id);
    const parts = /** @type {[string, Node | string][]} */ ([
      ['meaning', definition?.meaning ?? ''],
      ['formula', definition?.formula ?? ''],
      ['source', definition?.source ?? ''],
      ...estimates(row),
      ['name in files', make('code', {}, row.id)],
    ]);
    const list = make('dl', {}, ...parts.map(([name, text]) => make('div', {}, make('dt', {}, name), make('dd', {}, text))));
    return make('tr', { id: `more-${row.id}`, class: 'more' }, make('td', { colspan: '6' }, make('ul', { class: 'warns' }), list));
  };

  /** What warns of a measure, in words. @param {HTMLElement} element @param {Row} row */
  const warn = (element, row) => {
    const list = /** @type {HTMLElement} */ (element.querySelector('.warns'));
    const texts = [...ofSelected(row.id), ...(withSets() ? [...warnsOf('A', row.id), ...warnsOf('B', row.id)] : [])].map(inWords);
    list.hidden = texts.length === 0;
    if (list.textContent !== texts.join('')) list.replaceChildren(...texts.map((text) => make('li', {}, text)));
  };

  /** @param {HTMLElement} element @param {Row} row */
  const update = (element, row) => {
    const [, value, unit, a, b, remark] = /** @type {HTMLElement[]} */ ([...element.children]);
    const open = state.open.has(row.id);
    element.querySelector('button')?.setAttribute('aria-expanded', String(open));
    write(value, row.value ?? 'absent');
    value.classList.toggle('absent', row.value === null);
    value.classList.toggle('estimated', row.estimated !== '');
    write(unit, row.unit);
    const to = { opens: `more-${row.id}`, open, press: () => press(row) };
    for (const [cell, set, of] of /** @type {const} */ ([[a, 'A', row.a], [b, 'B', row.b]])) {
      marked(cell, of.mean, of.mean === '' ? [] : warnsOf(set, row.id), to, of.below);
      cell.classList.toggle('estimated', of.estimated !== '');
      cell.dataset.label = ofSet(set);
    }
    const remarks = [row.absent, row.from_address, row.value === null ? '' : row.estimated, row.impact_shift].filter((r) => r !== '');
    marked(remark, remarks.join('; '), row.value === null ? [] : ofSelected(row.id), to);
    const sets = withSets();
    a.hidden = !sets;
    b.hidden = !sets;
  };

  const ofSet = (/** @type {'A' | 'B'} */ set) => `${set}, ${labelOf(set)}, mean ± SD`;
  const withSets = () => idsOf('A').length + idsOf('B').length > 1;

  const all = cautionLine('measures-careful');
  at('measures-table', HTMLTableElement).before(all);

  onChange(() => {
    const section = at('measures', HTMLElement);
    section.hidden = state.rows.length === 0;
    updateCautions(all, [...ofSelected(''), ...(withSets() ? [...warnsOf('A', ''), ...warnsOf('B', '')] : [])]);
    const one = selected();
    write(at('measures-about', HTMLSpanElement), one?.view ? `torque and impulse ${one.view.bench.about}; ${fact('filter')}; load ${fact('load')}` : '');
    const heads = ['measure', one?.name ?? 'this', 'unit', ofSet('A'), ofSet('B'), 'remarks'];
    const sets = withSets();
    follow(
      at('measures-head', HTMLTableRowElement),
      heads.map((text, i) => ({ text, i })).filter(({ i }) => sets || (i !== 3 && i !== 4)),
      ({ i }) => String(i),
      () => make('th', { scope: 'col' }),
      (element, { text, i }) => {
        write(element, text);
        if (i === 3 || i === 4) element.title = 'mean ± standard deviation (number of swings, n)';
      },
    );
    const lines = state.rows.flatMap((row) => [
      { row, more: false },
      ...(state.open.has(row.id) ? [{ row, more: true }] : []),
    ]);
    follow(
      body,
      lines,
      ({ row, more }) => (more ? `more ${row.id} ${JSON.stringify(estimates(row))}` : row.id),
      ({ row, more }) => (more ? explain(row) : create(row)),
      (element, { row, more }) => {
        if (more) warn(element, row);
        else update(element, row);
      },
    );
    at('measures-table', HTMLTableElement).classList.toggle('with-sets', sets);
    few();
  });

  onChange(() => {
    const one = selected();
    at('lead-in', HTMLParagraphElement).hidden = state.recordings.length > 0 && one !== null;
    write(at('context', HTMLParagraphElement), one ? [one.name, setLabel(one)].filter((t) => t !== '').join(' · ') : '');
    write(at('about', HTMLParagraphElement), shown()?.bench.about ?? '');
  });
}

/** Where a recording stands, as it is counted. @param {import('./state.js').Recording} one */
function setLabel(one) {
  if (one.set === '') return '';
  const out = one.aside !== '' ? ', set aside' : one.held && !counts(one) ? ', kept out' : '';
  return `set ${one.set}, ${labelOf(one.set)}${out}`;
}
