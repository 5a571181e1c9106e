/** Round steps for grid ticks and scale bars. */

import type { Extent } from './places.ts';

const STEPS = [1, 2, 5] as const;

/** Return the smallest round step (1, 2 or 5 times a power of ten) that takes at least so many pixels. */
export function roundStep(scale: number, leastPixels: number): number {
  const wanted = leastPixels / scale;
  const power = 10 ** Math.floor(Math.log10(wanted));
  for (const step of STEPS) if (step * power >= wanted * (1 - 1e-9)) return tidy(step * power);
  return tidy(10 * power);
}

/** Return the multiples of a step that lie in a range, both ends included. */
export function ticksIn(least: number, most: number, step: number): number[] {
  const first = Math.ceil(least / step - 1e-9);
  const last = Math.floor(most / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, place) => tidy((first + place) * step));
}

/** Return how many decimals tell the multiples of a step apart. */
export function decimalsOf(step: number): number {
  return Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
}

/** Return a box made larger on all sides by a share of its longer side. */
export function wider(box: Extent, share: number): Extent {
  const by = share * Math.max(box.right - box.left, box.high - box.low);
  return { left: box.left - by, low: box.low - by, right: box.right + by, high: box.high + by };
}

function tidy(value: number): number {
  return Number(value.toPrecision(12));
}
