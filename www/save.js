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
