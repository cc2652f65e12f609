// The way in: the module is started, then every part of the page is mounted on the one state.

import { mountBench } from './bench.js';
import { mountCursor } from './cursor.js';
import { at } from './dom.js';
import { mountDrop } from './drop.js';
import { start } from './engine.js';
import { mountFilm } from './film.js';
import { mountFindings } from './findings.js';
import { mountHeadline } from './headline.js';
import { mountKeys } from './keys.js';
import { mountMarkers } from './markers.js';
import { closeUp } from './parts.js';
import { build } from './pkg/build.js';
import { mountReceived } from './received.js';
import { mountSamples } from './sample_swings.js';
import { mountSend } from './send.js';
import { mountSession } from './session.js';
import { mountSettings } from './settings.js';
import { changed } from './state.js';
import { mountTable } from './table.js';
import { mountTheme } from './theme.js';
import { mountTray } from './tray.js';
import { mountUndo } from './undo.js';
import { mountWatch } from './watch.js';
import { mountWiring } from './wiring.js';

const commit = build.commit ? `, commit ${build.commit}${build.changed ? ' with changes' : ''}` : '';
at('build', HTMLParagraphElement).textContent = `Footing ${build.version}${commit}${build.date ? `, ${build.date}` : ''}`;

mountTheme();
mountSettings();
try {
  const definitions = await start();
  mountTray();
  mountBench();
  mountMarkers();
  mountCursor();
  mountTable(definitions);
  mountFindings();
  mountHeadline();
  mountSend();
  mountKeys();
  mountDrop();
  mountSamples();
  mountFilm();
  mountWatch();
  mountWiring();
  mountUndo();
  void mountSession();
  mountReceived();
  document.documentElement.dataset.ready = '';
  changed();
  void closeUp();
} catch (error) {
  at('sentence', HTMLHeadingElement).textContent = 'Footing cannot start in this browser';
  at('lead-in', HTMLParagraphElement).textContent =
    `It needs WebAssembly, workers and DecompressionStream; the browser says: ${error instanceof Error ? error.message : error}. Try a browser of the last three years.`;
}
