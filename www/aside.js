// Setting a swing aside for a reason, and counting it again.

import { make, write } from './dom.js';
import { setAside } from './work.js';

/** @typedef {import('./state.js').Recording} Recording */

/** Most characters of a reason. */
const REASON = '60';

/** The line of a recording that sets it aside. @param {Recording} recording */
export function asideLine(recording) {
  const reason = make('input', {
    type: 'text',
    maxlength: REASON,
    placeholder: 'reason, such as: mishit',
    'aria-label': `Why ${recording.name} is set aside`,
    autocomplete: 'off',
    required: true,
  });
  const form = make(
    'form',
    {
      class: 'aside-form',
      hidden: true,
      onsubmit: (event) => {
        event.preventDefault();
        if (reason.value.trim() === '') return;
        form.hidden = true;
        setAside(recording, reason.value);
        button.focus();
      },
    },
    reason,
    make('button', {}, 'Set aside'),
  );
  const button = make('button', {
    type: 'button',
    class: 'quiet aside-button',
    onclick: () => {
      if (recording.aside !== '') {
        setAside(recording, '');
        return;
      }
      form.hidden = !form.hidden;
      if (!form.hidden) reason.focus();
    },
  });
  return make('div', { class: 'aside-line' }, make('span', { class: 'aside-reason' }), button, form);
}

/** @param {HTMLElement} line @param {Recording} recording */
export function updateAside(line, recording) {
  const [said, button] = /** @type {HTMLElement[]} */ ([...line.children]);
  line.hidden = recording.status !== 'ready' || recording.set === '';
  write(said, recording.aside === '' ? '' : `Set aside: ${recording.aside}`);
  said.hidden = recording.aside === '';
  write(button, recording.aside === '' ? 'Set aside…' : 'Put back');
  button.setAttribute('aria-label', recording.aside === '' ? `Set aside… ${recording.name}` : `Put back ${recording.name}`);
}
