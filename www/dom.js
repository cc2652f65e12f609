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

/**
 * Makes the children of `parent` follow `items`, keeping the elements (and so the focus) of those
 * that stay.
 * @template T
 * @param {Element} parent
 * @param {T[]} items
 * @param {(item: T) => string} key
 * @param {(item: T) => HTMLElement} create
 * @param {(element: HTMLElement, item: T) => void} update
 */
export function follow(parent, items, key, create, update) {
  const old = new Map([...parent.children].map((child) => [child.getAttribute('data-key'), child]));
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
  for (const gone of old.values()) gone.remove();
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
