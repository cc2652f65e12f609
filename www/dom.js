// Small helpers for the document.

/**
 * The element with this id, of this class.
 * @template {Element} T
 * @param {string} id
 * @param {{new(): T}} kind
 * @returns {T}
 */
export function at(id, kind) {
  const found = document.getElementById(id);
  if (!(found instanceof kind)) throw new Error(`the page has no ${kind.name} named ${id}`);
  return found;
}

/**
 * A new element.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} name
 * @param {Record<string, string | boolean | EventListener>} [attributes] `on…` adds a listener
 * @param {...(Node | string)} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function make(name, attributes = {}, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === 'function') element.addEventListener(key.slice(2), value);
    else if (value === true) element.setAttribute(key, '');
    else if (value !== false) element.setAttribute(key, value);
  }
  element.append(...children);
  return element;
}

/** Whether the focus can go to an element. @param {Element} element */
const takesFocus = (element) => element instanceof HTMLElement && element.checkVisibility() && !element.matches(':disabled');

/**
 * Gives the focus to the same control of the neighbour of what had it, else to any control of one.
 * @param {Element[]} heirs the neighbours, nearest first @param {Element} had what had it
 * @returns {boolean} whether one took it
 */
export function handOn(heirs, had) {
  const same = [...had.classList].map((name) => `.${CSS.escape(name)}`).join('');
  for (const query of [had.tagName.toLowerCase() + same, 'button, input, select, summary, [tabindex="0"]']) {
    const heir = heirs.flatMap((one) => [...one.querySelectorAll(query)]).find(takesFocus);
    if (!heir) continue;
    /** @type {HTMLElement} */ (heir).focus();
    return true;
  }
  return false;
}

/** Gives the focus to the first of these that is to be seen. @param {string} query */
export function focusOn(query) {
  /** @type {HTMLElement | undefined} */ ([...document.querySelectorAll(query)].find(takesFocus))?.focus();
}

/**
 * Makes the children of `parent` follow `items`, keeping the elements of those that stay, and the focus: where what had it
 * goes, the nearest that stays has it.
 * @template T
 * @param {Element} parent
 * @param {T[]} items
 * @param {(item: T) => string} key
 * @param {(item: T) => HTMLElement} create
 * @param {(element: HTMLElement, item: T) => void} update
 * @param {(name: string) => boolean} [heir] gives the focus of the one of this key to what shall have it, or to nothing of its own
 */
export function follow(parent, items, key, create, update, heir) {
  const old = new Map([...parent.children].map((child) => [child.getAttribute('data-key'), child]));
  const had = document.activeElement;
  const place = had && had !== parent ? [...parent.children].findIndex((child) => child.contains(had)) : -1;
  const of = parent.children[place]?.getAttribute('data-key') ?? '';
  // Before any is moved: an element that is moved loses the focus.
  const names = new Set(items.map(key));
  for (const [name, gone] of old) {
    if (names.has(name ?? '')) continue;
    gone.remove();
    old.delete(name);
  }
  let before = parent.firstElementChild;
  for (const item of items) {
    const name = key(item);
    let element = /** @type {HTMLElement | undefined} */ (old.get(name));
    if (element) {
      old.delete(name);
    } else {
      element = create(item);
      element.setAttribute('data-key', name);
    }
    update(element, item);
    if (element === before) before = element.nextElementSibling;
    else parent.insertBefore(element, before);
  }
  if (!had || place < 0 || (had === document.activeElement && had.isConnected)) return;
  if (had.isConnected) return /** @type {HTMLElement} */ (had).focus({ preventScroll: true });
  if (heir?.(of)) return;
  const all = [...parent.children];
  if (!handOn([...all.slice(place), ...all.slice(0, place).reverse()], had)) focusOn('#browse, #tray-fold');
}

/** @param {Element} element @param {string} text */
export function write(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/** A text in which no line ends between a number and its unit. @param {string} text */
export const glued = (text) => text.replaceAll(/(\d) (?=(?:N·m|N|s|ms|mm|kg|%)(?![\p{L}\d]))/gu, '$1\u00a0').replaceAll(/\bp (?=\d)/g, 'p\u00a0');

/** @param {number} value @param {number} decimals */
export function fixed(value, decimals) {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? `\u2212${text}` : text;
}
