// Send: what the link holds, the link, its QR code; beside it files to keep, which need no comparison.

import { at, make, write } from './dom.js';
import { mountFiles, readable } from './files.js';
import { whoOpens } from './hosts.js';
import { codeWidthMm, mountPaper } from './paper.js';
import { text_limits as textLimits } from './pkg/footing_web.js';
import { savePng, saveText } from './save.js';
import { compared, onChange, state } from './state.js';
import { parse } from './svg.js';
import { pack } from './work.js';

/** Pixels of a module in a saved QR code. */
const MODULE_PX = 8;

/** Codes of more modules a side are hard for phones to read from paper. */
const EASY_MODULES = 117;

const reach = whoOpens(location);

/** The address links lead to; empty while it is not known. */
const base = () => (reach === 'everybody' ? location.href.split('#')[0] : state.base);

const goodAddress = (/** @type {string} */ text) => /^https?:\/\/[^\s#]+$/.test(text) && URL.canParse(text);

/** Why an address is asked for, and what is to be said of the one that was typed. */
function whyAsked() {
  const typed = state.base === '' ? 'everybody' : whoOpens(new URL(state.base));
  if (typed === 'computer') return `Only this computer opens ${new URL(state.base).host}: the link leads nowhere on a phone`;
  if (typed === 'network') return `Only its own network opens ${new URL(state.base).host}: the link leads nowhere outside`;
  const asked = 'type where the same page is hosted';
  if (reach === 'file') return `This page runs from a file, which a link cannot lead to: ${asked}`;
  if (reach === 'computer') return `This page is served at ${location.host}, which only this computer opens: ${asked}`;
  return `This page is served at ${location.host}, which only its own network opens: ${asked}, or this address again if it will do`;
}

/** The QR code as a picture. @param {string} svg @param {number} modules */
async function picture(svg, modules) {
  const image = new Image();
  image.src = `data:image/svg+xml;base64,${btoa(svg)}`;
  await image.decode();
  const canvas = make('canvas');
  canvas.width = (modules + 8) * MODULE_PX;
  canvas.height = canvas.width;
  const pen = canvas.getContext('2d');
  if (pen) {
    pen.imageSmoothingEnabled = false;
    pen.drawImage(image, 0, 0, canvas.width, canvas.height);
  }
  return canvas;
}

export function mountSend() {
  const panel = at('send', HTMLDialogElement);
  const [title, cue] = [at('send-title-text', HTMLInputElement), at('send-cue', HTMLInputElement)];
  const address = at('send-base', HTMLInputElement);
  const url = at('send-url', HTMLTextAreaElement);
  const status = at('send-status', HTMLParagraphElement);
  const code = at('send-qr', HTMLDivElement);
  const limits = textLimits();
  title.maxLength = limits.title;
  cue.maxLength = limits.cue;
  for (const id of ['label-A', 'label-B']) at(id, HTMLInputElement).maxLength = limits.label;
  write(at('send-cue-limit', HTMLSpanElement), `at most ${limits.cue} characters`);
  write(at('send-title-limit', HTMLSpanElement), `at most ${limits.title} characters; leave it empty to send no name`);

  const link = () => (state.link && !('problem' in state.link) ? state.link : null);
  let packed = '';
  /** Packs again when what goes into the link has changed. */
  const again = () => {
    // Printing wants the link too, and waits for nothing; where the page is hosted it is there.
    if (!compared() || (!panel.open && base() === '')) return;
    const wanted = JSON.stringify([state.words, base()]);
    if (state.link && packed === wanted) return;
    packed = wanted;
    pack(base() || 'https://…/');
  };

  title.addEventListener('input', () => {
    state.words.title = title.value;
    again();
  });
  cue.addEventListener('input', () => {
    state.words.cue = cue.value;
    again();
  });
  address.addEventListener('input', () => {
    const good = goodAddress(address.value.trim());
    state.base = good ? address.value.trim() : '';
    address.setAttribute('aria-invalid', String(!good && address.value !== ''));
    again();
    render();
  });

  /** @param {string} text */
  const say = (text) => write(status, text);
  const select = () => {
    url.focus();
    url.select();
  };
  at('send-copy', HTMLButtonElement).addEventListener('click', async () => {
    const now = link();
    if (!now) return;
    try {
      await navigator.clipboard.writeText(now.url);
      say('The link is copied.');
    } catch {
      select();
      say('The browser does not let the page copy: the link is selected, copy it with the keyboard.');
    }
  });
  at('send-share', HTMLButtonElement).addEventListener('click', async () => {
    const now = link();
    if (!now) return;
    try {
      await navigator.share({ url: now.url });
    } catch (error) {
      // Closing the sheet without choosing is not a fault.
      if (error instanceof DOMException && error.name === 'AbortError') return;
      select();
      say('The browser does not share it: the link is selected, copy it.');
    }
  });
  at('send-qr-svg', HTMLButtonElement).addEventListener('click', () => {
    const now = link();
    if (now?.qr) saveText(now.qr, 'image/svg+xml', 'footing-link.svg');
  });
  at('send-qr-png', HTMLButtonElement).addEventListener('click', async () => {
    const now = link();
    if (now?.qr && now.qr_modules) await savePng(await picture(now.qr, now.qr_modules), 'footing-link.png');
  });
  at('send-print', HTMLButtonElement).addEventListener('click', () => {
    panel.close();
    window.print();
  });
  at('send-close', HTMLButtonElement).addEventListener('click', () => panel.close());
  at('send-open', HTMLButtonElement).addEventListener('click', () => {
    title.value = state.words.title;
    cue.value = state.words.cue;
    address.value ||= state.base;
    say('');
    panel.showModal();
    again();
    render();
  });

  mountFiles(() => (base() === '' ? null : link()));
  mountPaper(base);

  let drawn = '';
  const render = () => {
    const open = at('send-open', HTMLButtonElement);
    open.hidden = readable().length === 0;
    write(open, compared() ? 'Send…' : 'Save…');
    if (!panel.open) return;
    write(at('send-name', HTMLHeadingElement), compared() ? 'Send' : 'Save');
    at('send-link', HTMLDivElement).hidden = !compared();
    at('send-alone', HTMLParagraphElement).hidden = compared() !== null;
    const now = link();
    const known = base() !== '';
    at('send-where', HTMLDivElement).hidden = reach === 'everybody';
    write(at('send-base-hint', HTMLSpanElement), whyAsked());
    const problem = state.link && 'problem' in state.link ? state.link.problem : '';
    const refused = at('send-problem', HTMLParagraphElement);
    write(refused, problem === '' ? '' : `No link can be made: ${problem}.`);
    refused.hidden = problem === '';
    const ready = now !== null && known;
    url.value = ready ? now.url : '';
    for (const id of ['send-copy', 'send-share', 'send-qr-svg', 'send-qr-png']) at(id, HTMLButtonElement).disabled = !ready;
    at('send-share', HTMLButtonElement).hidden = typeof navigator.share !== 'function';
    write(at('send-length', HTMLParagraphElement), ready ? `${now.characters} characters` : known ? 'being packed' : 'The address of a hosted page is still missing');
    at('send-holds', HTMLElement).replaceChildren(
      ...(now?.holds ?? []).map(([name, text]) => make('div', {}, make('dt', {}, name), make('dd', {}, text))),
    );
    const svg = ready ? (now.qr ?? '') : '';
    if (svg !== drawn) {
      drawn = svg;
      code.replaceChildren(...(svg === '' ? [] : [parse(svg)]));
    }
    const wide = now?.qr_modules ? `Print the code at least ${Math.ceil(codeWidthMm(now.qr_modules) / 10)} cm wide` : '';
    const hint = !ready || wide === '' ? '' : (now.qr_modules ?? 0) > EASY_MODULES ? `${wide}, better larger: it is fine-grained. Or send the link.` : `${wide}.`;
    write(at('send-qr-hint', HTMLParagraphElement), ready && !now.qr ? 'The link is too long for a QR code: send the link itself.' : hint);
  };
  onChange(() => {
    again();
    render();
  });
}
