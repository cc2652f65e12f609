// Columns carried to slots by hand: pressed and dragged, or taken with one press and put with the next. For keys there are
// the slots' own lists.

import { make, write } from './dom.js';

/** How far a press may wander and still be one, px. */
const STILL_PX = 6;
/** So near the rim of the dialog a drag scrolls it, px. */
const RIM_PX = 48;
const SCROLL_PX = 14;

/** @typedef {{column: string, slot: string, name: string}} Load what is carried, from which slot; empty from the list */

/**
 * Lets columns be carried inside a dialog. Whatever has `data-column` is taken, whatever has `data-slot` takes it.
 * @param {HTMLDialogElement} dialog
 * @param {(slot: string, load: Load) => void} put
 * @param {(column: string) => string} nameOf
 */
export function carryIn(dialog, put, nameOf) {
  let load = /** @type {Load | null} */ (null);
  let pressed = /** @type {{x: number, y: number, load: Load, id: number} | null} */ (null);
  let dragged = false;
  let swallow = false;
  const chip = make('p', { class: 'in-hand', hidden: true });
  const within = (/** @type {Element | null} */ element, /** @type {string} */ name) => {
    const found = element?.closest(`[data-${name}]`);
    return found instanceof HTMLElement && dialog.contains(found) ? found : null;
  };
  const slotAt = (/** @type {PointerEvent} */ { clientX, clientY }) => within(document.elementFromPoint(clientX, clientY), 'slot');
  /** @param {HTMLElement | null} slot */
  const mark = (slot) => {
    for (const other of dialog.querySelectorAll('.slot.under')) if (other !== slot) other.classList.remove('under');
    slot?.classList.add('under');
  };
  /** @param {Load | null} what */
  const hold = (what) => {
    load = what;
    dialog.classList.toggle('carrying', what !== null);
    chip.hidden = what === null;
    chip.classList.remove('moving');
    chip.removeAttribute('style');
    write(chip, what ? `${what.name} is in hand: press the channel it goes to, or the column again to put it back` : '');
    for (const row of dialog.querySelectorAll('.taken')) row.classList.remove('taken');
    if (what) for (const row of dialog.querySelectorAll('[data-column]')) if (/** @type {HTMLElement} */ (row).dataset.column === what.column) row.classList.add('taken');
    mark(null);
  };
  /** @param {HTMLElement} slot */
  const set = (slot) => {
    const what = load;
    hold(null);
    if (what && slot.dataset.slot) put(slot.dataset.slot, what);
  };

  dialog.addEventListener('pointerdown', (event) => {
    swallow = false;
    if (event.button !== 0 || !(event.target instanceof Element)) return;
    const slot = within(event.target, 'slot');
    if (load) {
      // The press that puts it is no press on the list below it.
      if (slot) {
        event.preventDefault();
        swallow = true;
        set(slot);
        return;
      }
      if (!within(event.target, 'column')) return;
    }
    const row = within(event.target, 'column');
    const column = row?.dataset.column;
    if (!row || !column) return;
    pressed = { x: event.clientX, y: event.clientY, id: event.pointerId, load: { column, slot: slot?.dataset.slot ?? '', name: nameOf(column) } };
    dragged = false;
  });
  dialog.addEventListener('pointermove', (event) => {
    if (!pressed || event.pointerId !== pressed.id) return;
    if (!dragged) {
      if (Math.hypot(event.clientX - pressed.x, event.clientY - pressed.y) < STILL_PX) return;
      dragged = true;
      dialog.setPointerCapture(event.pointerId);
      hold(pressed.load);
      write(chip, pressed.load.name);
      chip.classList.add('moving');
    }
    event.preventDefault();
    const box = dialog.getBoundingClientRect();
    if (event.clientY < box.top + RIM_PX) dialog.scrollBy(0, -SCROLL_PX);
    if (event.clientY > box.bottom - RIM_PX) dialog.scrollBy(0, SCROLL_PX);
    chip.style.left = `${event.clientX + 12}px`;
    chip.style.top = `${event.clientY + 12}px`;
    mark(slotAt(event));
  });
  dialog.addEventListener('pointerup', (event) => {
    const was = pressed;
    pressed = null;
    if (!was || event.pointerId !== was.id) return;
    if (dragged) {
      swallow = true;
      const slot = slotAt(event);
      if (slot && slot.dataset.slot !== was.load.slot) set(slot);
      else hold(null);
    } else hold(load?.column === was.load.column && load.slot === was.load.slot ? null : was.load);
    dragged = false;
  });
  dialog.addEventListener('pointercancel', () => {
    pressed = null;
    if (dragged) hold(null);
    dragged = false;
  });
  for (const kind of /** @type {const} */ (['mousedown', 'click'])) {
    dialog.addEventListener(kind, (event) => {
      if (!swallow) return;
      if (kind === 'click') swallow = false;
      event.preventDefault();
      event.stopPropagation();
    }, true);
  }
  // A press that ended in nothing swallows no key.
  dialog.addEventListener('keydown', () => void (swallow = false), true);
  dialog.addEventListener('cancel', (event) => {
    if (!load) return;
    event.preventDefault();
    pressed = null;
    hold(null);
  });
  dialog.addEventListener('close', () => hold(null));
  return chip;
}
