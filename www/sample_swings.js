// The sample swings: another player's. They come onto an empty page at once; over somebody's own work only when asked, and then
// in its place, which is one step back.

import { at, make } from './dom.js';
import { samplesPart } from './parts.js';
import { changed, state } from './state.js';
import { enter, putAway, readAll } from './work.js';

/** @typedef {import('./work.js').Dropped} Dropped */

const says = make('p', { id: 'sample-says' });
const dialog = make(
  'dialog',
  { id: 'sample-ask', 'aria-labelledby': 'sample-title', 'aria-describedby': 'sample-says' },
  make('h2', { id: 'sample-title' }, 'Put your own aside for the sample swings?'),
  says,
  make('form', { method: 'dialog', class: 'buttons' }, make('button', { value: 'open', id: 'sample-open' }, 'Put mine aside and open them'), make('button', { value: '' }, 'Cancel')),
);

/** @param {boolean} instead whether they take the place of what is there */
async function open(instead) {
  const { samples, sampleBytes } = await samplesPart();
  const files = /** @type {Dropped[]} */ ([]);
  const labels = /** @type {Partial<typeof state.labels>} */ ({});
  const settings = /** @type {Partial<typeof state.settings>} */ ({});
  for (const entry of samples) {
    const set = entry.set === 'A' || entry.set === 'B' ? entry.set : '';
    if (set !== '' && typeof entry.label === 'string') labels[set] = entry.label;
    if (entry.handed === 'left' || entry.handed === 'right') settings.handed = entry.handed;
    for (const file of entry.files) files.push({ name: file.name.split('/').at(-1) ?? file.name, blob: new Blob([await sampleBytes(file)]), set });
  }
  if (files.length === 0) {
    state.fault = 'This build of the page carries no samples';
    return changed();
  }
  // From here to the reading nothing waits: it is one step back.
  state.fault = '';
  if (instead) putAway();
  Object.assign(state.labels, labels);
  Object.assign(state.settings, settings);
  enter(files);
  changed();
  await readAll();
}

export function mountSamples() {
  document.body.append(dialog);
  at('sample', HTMLButtonElement).addEventListener('click', () => {
    const own = state.recordings.filter((r) => r.status !== 'refused').length;
    if (own === 0) return void open(false);
    says.textContent = `They are another player’s, and are not to be mixed with yours. ${own === 1 ? 'Your recording' : `Your ${own} recordings`}, with sets, events and settings, ${own === 1 ? 'is' : 'are'} put aside for them; Undo brings all of it back as long as this page is open.`;
    dialog.returnValue = '';
    dialog.showModal();
  });
  dialog.addEventListener('close', () => {
    if (dialog.returnValue === 'open') void open(true);
  });
}
