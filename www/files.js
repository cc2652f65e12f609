// Files to keep: what is in the Tray, recording by recording; the comparison where there is one; the charts.

import { chartSheet, chartSvg } from './chart_sheet.js';
import { at, write } from './dom.js';
import { ask, needWhole } from './engine.js';
import { savePng, saveText } from './save.js';
import { compared, labelOf, onChange, selected, state } from './state.js';

/** The recordings that are read, in the order of the Tray. */
export const readable = () => state.recordings.filter((r) => r.status === 'ready');

/** A part of a file's name. @param {string} text */
const named = (text) => text.replace(/\.[A-Za-z0-9]{1,5}$/, '').replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-+|-+$/g, '') || 'swing';

const unread = () => state.recordings.some((r) => r.status === 'reading' || (r.held && r.stale));

let waiting = /** @type {(() => void)[]} */ ([]);

/** Resolves once the worker holds every recording as it is now set. @returns {Promise<void>} */
const read = () => new Promise((done) => (unread() ? waiting.push(done) : done()));

/**
 * Recordings as the text of a file, as the command writes it.
 * @param {'csv' | 'json' | 'curves'} what @param {() => import('./state.js').Recording[]} which
 */
async function text(what, which) {
  // The first module measures and draws; to write is for the whole one, which reads everything again.
  await needWhole();
  await read();
  const ids = Uint32Array.from(which().filter((r) => r.held), (r) => r.id);
  if (ids.length === 0) throw new Error('no recording is read');
  return ask('saveRecordings', { ids, what, settings: { ...state.settings, given: {}, filmed: {} } });
}

/** @param {() => import('./state.js').Link | null} link the link to the comparison, where there is one */
export function mountFiles(link) {
  const status = at('files-status', HTMLParagraphElement);
  /** @param {string} id @param {() => Promise<void>} act */
  const button = (id, act) =>
    at(id, HTMLButtonElement).addEventListener('click', async () => {
      write(status, '');
      try {
        await act();
      } catch (error) {
        write(status, `It is not saved: ${error instanceof Error ? error.message : error}. Try again.`);
      }
    });
  /** @param {boolean} table */
  const comparison = (table) => ask('save', { table, words: { ...state.words }, link: link()?.url });
  const one = () => {
    const recording = selected();
    return recording?.status === 'ready' ? [recording] : [];
  };
  button('send-csv', async () => saveText(await comparison(true), 'text/csv', 'footing-comparison.csv'));
  button('send-json', async () => saveText(await comparison(false), 'application/json', 'footing-comparison.json'));
  button('send-measures-csv', async () => saveText(await text('csv', readable), 'text/csv', 'footing-measures.csv'));
  button('send-measures-json', async () => saveText(await text('json', readable), 'application/json', 'footing-measures.json'));
  button('send-curves', async () => {
    const name = `footing-curves-${named(one()[0]?.name ?? '')}.csv`;
    saveText(await text('curves', one), 'text/csv', name);
  });
  const of = () => (state.show === 'sets' ? `${named(labelOf('A'))}-${named(labelOf('B'))}` : named(selected()?.name ?? ''));
  button('send-png', async () => {
    const sheet = chartSheet();
    if (sheet) await savePng(sheet, `footing-charts-${of()}.png`);
  });
  button('send-svg', async () => {
    const text = chartSvg();
    if (text) saveText(text, 'image/svg+xml', `footing-charts-${of()}.svg`);
  });
  onChange(() => {
    if (!unread()) for (const done of waiting.splice(0)) done();
    at('files-compared', HTMLDivElement).hidden = !compared();
    const count = readable().length;
    write(at('files-measures', HTMLSpanElement), count === 1 ? 'Measures of the recording' : `Measures of all ${count} recordings, one row each`);
    const [recording] = one();
    at('files-one', HTMLDivElement).hidden = !recording;
    write(at('files-curves', HTMLSpanElement), `Curves of ${recording?.name ?? ''}, one row a sample`);
    write(at('files-charts', HTMLSpanElement), state.show === 'sets' ? 'Charts of A and B' : `Charts of ${recording?.name ?? ''}`);
  });
}
