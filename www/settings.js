// The player, and how recordings are read.

import { at, make, write } from './dom.js';
import { foldable } from './fold.js';
import { fact, notesOf, onChange, selected, state } from './state.js';
import { set } from './work.js';

/** @param {string} text */
const number = (text) => {
  const value = Number(text.trim().replace(',', '.'));
  return text.trim() === '' || !Number.isFinite(value) ? null : value;
};

/**
 * A labelled choice.
 * @param {string} id @param {string} label @param {[string, string][]} options @param {(value: string) => void} chosen
 * @param {string} [hint]
 */
function choice(id, label, options, chosen, hint) {
  const select = make('select', { id, onchange: () => chosen(select.value) });
  for (const [value, text] of options) select.append(make('option', { value }, text));
  return field(id, label, select, hint);
}

/**
 * A labelled number that may be left empty.
 * @param {string} id @param {string} label @param {[number, number]} range @param {(value: number | null) => void} chosen
 * @param {string} hint
 */
function amount(id, label, [from, to], chosen, hint) {
  const input = make('input', { id, type: 'text', inputmode: 'decimal', 'aria-describedby': `${id}-hint ${id}-fault` });
  const fault = make('span', { id: `${id}-fault`, class: 'fault', role: 'alert' });
  input.addEventListener('change', () => {
    const value = number(input.value);
    const fits = value === null ? input.value.trim() === '' : value >= from && value <= to;
    input.setAttribute('aria-invalid', String(!fits));
    fault.textContent = fits ? '' : `expected a number from ${from} to ${to}, or nothing`;
    if (fits) chosen(value);
  });
  const made = field(id, label, input, hint);
  made.append(fault);
  return made;
}

/** @param {string} id @param {string} label @param {HTMLElement} control @param {string} [hint] */
function field(id, label, control, hint) {
  return make(
    'div',
    { class: 'field' },
    make('label', { for: id }, label),
    control,
    ...(hint ? [make('span', { id: `${id}-hint`, class: 'hint' }, hint)] : []),
  );
}

const THRESHOLD = 'under it a foot has no centre of pressure; left empty: 30 N or 5 % of body weight, whichever is more';

export function mountSettings() {
  foldable('settings', () => `${state.settings.handed}-handed${state.settings.mass_kg === null ? '' : `, ${state.settings.mass_kg} kg`}`, () => true);
  const form = at('settings-form', HTMLFormElement);
  form.addEventListener('submit', (event) => event.preventDefault());
  const quiet = make('input', {
    id: 'zero-quiet',
    type: 'checkbox',
    onchange: () => set({ zero_quiet: quiet.checked }),
  });
  // Where the filter was off meanwhile, it comes back at the cut-off it had.
  let last = 50;
  const hz = amount('low-pass-hz', 'Cut-off, Hz', [1, 2000], (value) => set({ low_pass: value ?? 50 }), 'zero lag, forward and back; 50 if left empty');
  const threshold = amount('load-threshold', 'Load threshold, N', [1, 1000], (value) => set({ load_threshold_n: value }), THRESHOLD);
  form.append(
    choice('handed', 'Player', [['right', 'right-handed'], ['left', 'left-handed']], (v) => set({ handed: v })),
    amount('mass', 'Body mass, kg', [10, 300], (value) => set({ mass_kg: value }), 'left empty: from quiet stance'),
    choice(
      'reference',
      'Torque and impulse about',
      [['stance-centre', 'stance centre, fixed'], ['com', 'centre of mass, moving'], ['combined-cop', 'combined centre of pressure, descriptive only']],
      (v) => set({ about: v }),
    ),
    choice(
      'low-pass',
      'Low-pass filter',
      [['hz', 'at a cut-off'], ['auto', 'by residual analysis'], ['off', 'off']],
      (v) => set({ low_pass: v === 'auto' || v === 'off' ? v : last }),
    ),
    hz,
    threshold,
    amount('target', 'Target direction, degrees', [-360, 360], (value) => set({ target_azimuth_deg: value }), 'counter-clockwise from the lab’s +x; left empty: as the file says'),
    make('div', { class: 'field check' }, quiet, make('label', { for: 'zero-quiet' }, 'Take off what horizontal force and torque quiet stance leaves')),
  );
  onChange(() => {
    at('handed', HTMLSelectElement).value = state.settings.handed;
    at('reference', HTMLSelectElement).value = state.settings.about;
    const cut = state.settings.low_pass;
    at('low-pass', HTMLSelectElement).value = typeof cut === 'number' ? 'hz' : cut;
    if (typeof cut === 'number') last = cut;
    hz.hidden = typeof cut !== 'number';
    const input = at('low-pass-hz', HTMLInputElement);
    for (const [id, value] of /** @type {const} */ ([['mass', state.settings.mass_kg], ['load-threshold', state.settings.load_threshold_n], ['target', state.settings.target_azimuth_deg]])) {
      const place = at(id, HTMLInputElement);
      if (document.activeElement !== place && place.getAttribute('aria-invalid') !== 'true') place.value = value === null ? '' : String(value);
    }
    const one = selected();
    const other = one && notesOf(one).find((note) => note.code === 'load-threshold-too-high')?.text;
    const used = fact('load');
    write(at('load-threshold-hint', HTMLSpanElement), THRESHOLD + (other ? `. ${other}` : used === '' ? '' : `; this recording: ${used}`));
    quiet.checked = state.settings.zero_quiet;
    if (typeof cut === 'number' && document.activeElement !== input && input.getAttribute('aria-invalid') !== 'true') input.value = String(cut);
  });
}
