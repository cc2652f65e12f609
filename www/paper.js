// What paper carries besides the page: a comparison's title, cue, the day, and the way to it for a phone; and in each chart
// the lines of the events.

import { today } from './chart_sheet.js';
import { at, make, write } from './dom.js';
import { compared, onChange, state } from './state.js';
import { parse } from './svg.js';

/** A module narrower than this is hard to read for a phone that is held in a hand: common practice. */
const MODULE_MM = 0.4;

/** The light modules around a code: four on each side, ISO/IEC 18004. */
const QUIET_MODULES = 8;

/** How wide a code must be on paper, millimetres. @param {number} modules */
export const codeWidthMm = (modules) => Math.ceil((modules + QUIET_MODULES) * MODULE_MM);

/** On paper the lines of the events belong to each chart, for a sheet may end between two charts. */
function lines() {
  for (const old of document.querySelectorAll('.on-paper')) old.remove();
  if (!document.documentElement.hasAttribute('data-paper')) return;
  for (const canvas of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll('.chart canvas:not([hidden])'))) {
    const over = make('div', { class: 'on-paper', 'aria-hidden': 'true' });
    for (const marker of document.querySelectorAll('.marker-rail .marker:not([hidden])')) {
      const line = /** @type {Element} */ (marker.cloneNode(true));
      line.lastElementChild?.remove();
      over.append(line);
    }
    over.style.top = `${canvas.offsetTop}px`;
    over.style.height = `${canvas.offsetHeight}px`;
    canvas.parentElement?.append(over);
  }
}

/** @param {() => string} base where the page is hosted; empty while it is not known */
export function mountPaper(base) {
  const code = at('paper-code', HTMLDivElement);
  const way = at('paper-way', HTMLParagraphElement);
  let drawn = '';
  onChange(lines);
  onChange(() => {
    at('paper', HTMLElement).hidden = !compared();
    for (const [id, text] of [['paper-title', state.words.title], ['paper-cue', state.words.cue]]) {
      const place = at(id, HTMLParagraphElement);
      write(place, text.trim());
      place.hidden = text.trim() === '';
    }
    write(at('paper-day', HTMLParagraphElement), `Printed on ${today()}`);
    const link = base() !== '' && state.link && !('problem' in state.link) ? state.link : null;
    at('paper-link', HTMLDivElement).hidden = !link;
    const svg = link?.qr ?? '';
    if (svg !== drawn) {
      drawn = svg;
      code.replaceChildren(...(svg === '' ? [] : [parse(svg)]));
      if (link?.qr_modules) code.style.width = `${codeWidthMm(link.qr_modules)}mm`;
    }
    if (link) way.replaceChildren(svg === '' ? 'To be read on a phone: ' : 'To be read on a phone, by its camera: ', make('a', { href: link.url }, svg === '' ? link.url : base()));
  });
}
