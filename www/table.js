// The table of measures; each row opens its definition, formula and source.

import { at, follow, make, write } from './dom.js';
import { changed, compared, idsOf, onChange, selected, shown, state } from './state.js';

/** @typedef {import('./state.js').Row} Row */

/** @param {import('./engine.js').Definition[]} definitions */
export function mountTable(definitions) {
  const meaning = new Map(definitions.map((d) => [d.id, d]));
  const body = at('measures-body', HTMLTableSectionElement);

  /** @param {Row} row */
  const create = (row) => {
    const button = make(
      'button',
      {
        type: 'button',
        class: 'measure',
        'aria-expanded': 'false',
        'aria-controls': `more-${row.id}`,
        onclick: () => {
          if (!state.open.delete(row.id)) state.open.add(row.id);
          changed();
        },
      },
      row.label,
    );
    return make(
      'tr',
      { 'data-measure': row.id },
      make('th', { scope: 'row' }, button),
      make('td', { class: 'number', 'data-label': 'this' }),
      make('td', { class: 'unit' }),
      make('td', { class: 'number of-A', 'data-label': 'A' }),
      make('td', { class: 'number of-B', 'data-label': 'B' }),
      make('td', { class: 'remark' }),
    );
  };

  /** What a measure means, under its row. @param {Row} row */
  const explain = (row) => {
    const definition = meaning.get(row.id);
    const parts = /** @type {[string, Node | string][]} */ ([
      ['meaning', definition?.meaning ?? ''],
      ['formula', definition?.formula ?? ''],
      ['source', definition?.source ?? ''],
      ['name in files', make('code', {}, row.id)],
    ]);
    const list = make('dl', {}, ...parts.map(([name, text]) => make('div', {}, make('dt', {}, name), make('dd', {}, text))));
    return make('tr', { id: `more-${row.id}`, class: 'more' }, make('td', { colspan: '6' }, list));
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
    write(a, row.a);
    write(b, row.b);
    const remarks = [row.absent, row.value === null ? '' : row.estimated, row.impact_shift].filter((r) => r !== '');
    write(remark, remarks.join('; '));
    const sets = withSets();
    a.hidden = !sets;
    b.hidden = !sets;
  };

  const withSets = () => idsOf('A').length + idsOf('B').length > 1;

  onChange(() => {
    const section = at('measures', HTMLElement);
    section.hidden = state.rows.length === 0;
    const one = selected();
    write(at('measures-about', HTMLSpanElement), one?.view ? `torque and impulse ${one.view.bench.about}` : '');
    const heads = ['measure', one?.name ?? 'this', 'unit', `A ${state.labels.A}`, `B ${state.labels.B}`, 'remarks'];
    const sets = withSets();
    follow(
      at('measures-head', HTMLTableRowElement),
      heads.map((text, i) => ({ text, i })).filter(({ i }) => sets || (i !== 3 && i !== 4)),
      ({ i }) => String(i),
      () => make('th', { scope: 'col' }),
      (element, { text, i }) => {
        write(element, text);
        if (i === 3 || i === 4) element.title = 'mean ± standard deviation (number of swings)';
      },
    );
    const lines = state.rows.flatMap((row) => [
      { row, more: false },
      ...(state.open.has(row.id) ? [{ row, more: true }] : []),
    ]);
    follow(
      body,
      lines,
      ({ row, more }) => (more ? `more ${row.id}` : row.id),
      ({ row, more }) => (more ? explain(row) : create(row)),
      (element, { row, more }) => {
        if (!more) update(element, row);
      },
    );
    at('measures-table', HTMLTableElement).classList.toggle('with-sets', sets);
  });

  onChange(() => {
    const one = selected();
    // With two sets, what they come to is said instead.
    if (!compared()) write(at('sentence', HTMLHeadingElement), one?.view?.sentence ?? opening());
    at('lead-in', HTMLParagraphElement).hidden = state.recordings.length > 0 && one !== null;
    write(at('context', HTMLParagraphElement), one ? [one.name, setLabel(one.set)].filter((t) => t !== '').join(' · ') : '');
    write(at('about', HTMLParagraphElement), shown()?.bench.about ?? '');
  });
}

/** @param {import('./state.js').SetName} set */
const setLabel = (set) => (set === '' ? '' : `set ${set}, ${state.labels[set]}`);

function opening() {
  if (state.recordings.some((r) => r.status === 'waiting')) return 'A rig file is still missing: drop it beside its tables, or wire them in the Tray';
  return 'Drop the force-plate files of a swing here';
}
