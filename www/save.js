// Files made in the page and handed to the browser to keep.

import { make } from './dom.js';

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
