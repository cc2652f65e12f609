// Between seconds and pixels of the stack, and between seconds and samples.

import { shown, state } from './state.js';

/** Where the plots lie in the stack, CSS pixels; the same for every chart. */
export const plot = { left: 0, right: 1 };

/** @param {number} seconds */
export function toPx(seconds) {
  const [from, to] = state.window ?? [0, 1];
  return plot.left + ((seconds - from) / (to - from)) * (plot.right - plot.left);
}

/** @param {number} px */
export function toSeconds(px) {
  const [from, to] = state.window ?? [0, 1];
  return from + ((px - plot.left) / (plot.right - plot.left)) * (to - from);
}

/** The sample nearest to an instant. @param {Float64Array} x @param {number} t */
export function nearest(x, t) {
  let low = 0;
  let high = x.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (x[middle] < t) low = middle + 1;
    else high = middle;
  }
  return low > 0 && t - x[low - 1] <= x[low] - t ? low - 1 : low;
}

/** The sample under the cursor. @returns {number | null} */
export function sampleNow() {
  const now = shown();
  if (!now || state.cursor === null) return null;
  return nearest(now.columns[now.bench.x], state.cursor);
}
