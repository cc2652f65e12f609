// Files made in the page and handed to the browser to keep.

import { make } from './dom.js';
import { state } from './state.js';

/** @param {Blob} blob @param {string} name */
export function save(blob, name) {
  const address = URL.createObjectURL(blob);
  const link = make('a', { href: address, download: name });
  link.click();
  // The browser has taken it once the click was handled.
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/** @param {string} text @param {string} type @param {string} name */
export const saveText = (text, type, name) => save(new Blob([text], { type }), name);

/** @param {HTMLCanvasElement} canvas @param {string} name @returns {Promise<void>} */
export const savePng = (canvas, name) =>
  new Promise((done) => {
    canvas.toBlob((blob) => {
      if (blob) save(blob, name);
      done();
    }, 'image/png');
  });

/** A field of a CSV file. @param {unknown} value */
function field(value) {
  if (value === null || value === undefined) return '';
  const text = String(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

const HEAD = [
  'measure', 'name', 'unit', 'a_n', 'a_mean', 'a_sd', 'b_n', 'b_mean', 'b_sd', 'change', 'ci95_low', 'ci95_high', 'p_permutation', 'p_holm',
  'p_t', 'hedges_g', 'spread', 'mdc95', 'lag1_r', 'verdict', 'estimated', 'absent', 'a_swings', 'b_swings',
];

/** All measures of a comparison, one a line. @param {import('./state.js').Comparison} comparison */
export function asCsv({ document: numbers }) {
  /** @param {string} id @param {any} m */
  const line = (id, m) => [
    id, m.label, m.unit, m.a.n, m.a.mean, m.a.sd, m.b.n, m.b.mean, m.b.sd, m.change, ...(m.ci95 ?? [null, null]), m.p_permutation, m.p_holm,
    m.p_t, m.hedges_g, m.spread, m.mdc95, m.lag1_r, m.verdict, m.estimated, null, swings(m.a.values), swings(m.b.values),
  ];
  const swings = (/** @type {(number | null)[]} */ values) => values.map((v) => v ?? '').join(' ');
  const lines = [
    HEAD,
    ...Object.entries(numbers.measures).map(([id, m]) => line(id, m)),
    ...Object.entries(numbers.absent).map(([id, why]) => HEAD.map((name) => (name === 'measure' ? id : name === 'absent' ? why : null))),
  ];
  return lines.map((cells) => `${cells.map(field).join(',')}\r\n`).join('');
}

/** The same with curve tests, sentences and notes. @param {import('./state.js').Comparison} comparison */
export function asJson({ document: numbers, said }) {
  const [a, b] = said.sets;
  const link = state.link && !('problem' in state.link) ? state.link.url : undefined;
  return `${JSON.stringify({ ...numbers, sets: { a, b }, link, sentences: said.sentences, notes: said.notes }, null, 2)}\n`;
}

/** The pictures of the Bench under each other, on one sheet. @returns {HTMLCanvasElement | null} */
export function benchPicture() {
  const figures = [...document.querySelectorAll('#bench figure')].filter((f) => {
    const canvas = f.querySelector('canvas');
    return canvas && canvas.width > 0 && canvas.clientWidth > 0;
  });
  if (figures.length === 0) return null;
  const all = figures.map((f) => /** @type {HTMLCanvasElement} */ (f.querySelector('canvas')));
  const fine = all[0].width / all[0].clientWidth;
  const style = getComputedStyle(document.documentElement);
  const [margin, letters] = [24 * fine, 14 * fine];
  const sheet = make('canvas');
  sheet.width = Math.max(...all.map((c) => c.width)) + 2 * margin;
  sheet.height = all.reduce((sum, c) => sum + c.height + 2 * letters, 2 * margin);
  const pen = sheet.getContext('2d');
  if (!pen) return null;
  pen.fillStyle = style.getPropertyValue('--paper');
  pen.fillRect(0, 0, sheet.width, sheet.height);
  pen.fillStyle = style.getPropertyValue('--ink');
  pen.font = `600 ${letters}px ${style.fontFamily}`;
  let y = margin;
  for (const [i, canvas] of all.entries()) {
    const title = figures[i].querySelector('.title')?.textContent ?? 'Plan view';
    pen.fillText(title, margin, y + letters);
    pen.drawImage(canvas, margin, y + 1.5 * letters);
    y += canvas.height + 2 * letters;
  }
  return sheet;
}
