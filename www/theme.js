// Light, dark or as the system says; and which palette the charts are drawn with.

import { at } from './dom.js';
import { changed, viewNow } from './state.js';

const dark = window.matchMedia('(prefers-color-scheme: dark)');
const forced = window.matchMedia('(forced-colors: active)');
let printing = false;

/** The name of the charts' palette. */
export function palette() {
  if (printing) return 'print';
  const chosen = document.documentElement.dataset.theme;
  const night = chosen === 'dark' || (chosen !== 'light' && dark.matches);
  if (forced.matches) return dark.matches ? 'plain-dark' : 'plain-light';
  return night ? 'dark' : 'light';
}

/** The charts' letters grow with the page's: how much larger one of their pixels is. */
const grown = () => parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;

/** Printers resolve more than screens. Chromium prints a canvas at a scale cut down to 64ths: a quarter is one, a third is not. */
const FINE_ON_PAPER = 4;

/**
 * What a canvas is drawn on: its size in the charts' pixels, device pixels in one of those, and how large one is on the page.
 * On paper whole pixels that lie inside its box, for a scale a hair below a quarter would be cut down as well.
 * @param {HTMLCanvasElement} canvas
 */
export function sheet(canvas) {
  const by = grown();
  const { width, height } = canvas.getBoundingClientRect();
  if (printing) return { width: Math.floor(width) / by, height: Math.floor(height) / by, fine: FINE_ON_PAPER * by, by };
  return { width: canvas.clientWidth / by, height: canvas.clientHeight / by, fine: window.devicePixelRatio * by, by };
}

/** A sheet of paper has its own width, and a canvas prints what it holds: all is laid out and drawn for it first. @param {boolean} on */
function setPrinting(on) {
  printing = on;
  document.documentElement.toggleAttribute('data-paper', on);
  viewNow();
}

export function mountTheme() {
  const select = at('theme', HTMLSelectElement);
  select.addEventListener('change', () => {
    if (select.value === 'system') delete document.documentElement.dataset.theme;
    else document.documentElement.dataset.theme = select.value;
    changed();
  });
  for (const query of [dark, forced]) query.addEventListener('change', changed);
  window.addEventListener('beforeprint', () => setPrinting(true));
  window.addEventListener('afterprint', () => setPrinting(false));
}
