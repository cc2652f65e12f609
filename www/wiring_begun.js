// Wirings that were begun and not used, kept over a reload of this tab: what was answered, and nothing of any recording.
// The browser drops them with the tab.

import { state } from './state.js';

const KEPT = 'footing-wirings-begun';

/** @typedef {{hand: string, text: string}} Begun a rig as far as it was made, and the hand the page was told when it was */

/** By the fingerprint of a table's columns. @returns {Record<string, Begun>} */
function kept() {
  try {
    const all = JSON.parse(sessionStorage.getItem(KEPT) ?? '{}');
    return Object.fromEntries(Object.entries(all).filter(([, one]) => typeof one?.hand === 'string' && typeof one?.text === 'string'));
  } catch {
    return {};
  }
}

const all = kept();
/** Those from before the page was loaded: each is taken up once. */
const before = new Set(Object.keys(all));

/** What was begun for these columns before the page was loaded again. Feet are told by the hand: for another one it waits. @param {string} fingerprint */
export function takeUp(fingerprint) {
  if (all[fingerprint]?.hand !== state.settings.handed || !before.delete(fingerprint)) return undefined;
  return all[fingerprint].text;
}

/** @param {string} fingerprint @param {string} text empty when there is nothing to go on with */
export function keepBegun(fingerprint, text) {
  if (text === '' && (before.has(fingerprint) || !all[fingerprint])) return;
  before.delete(fingerprint);
  if (text === '') delete all[fingerprint];
  else all[fingerprint] = { hand: state.settings.handed, text };
  try {
    sessionStorage.setItem(KEPT, JSON.stringify(all));
  } catch {
    // It then lasts as long as the page.
  }
}
