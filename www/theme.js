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
