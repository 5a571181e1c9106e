/** The part of a sheet that stands on the screen: which place is in the middle, and how many pixels a length takes. */

import { place, type Extent, type Place } from './places.ts';

export interface SheetView {
  readonly middle: Place;
  /** Pixels of the screen to one length of the sheet. */
  readonly scale: number;
  /** Size of the frame in pixels. */
  readonly width: number;
  readonly height: number;
}

/** How far out and in a view goes, as multiples of the whole sheet. */
const FARTHEST = 0.25;
const CLOSEST = 200;
/** Share of the frame that a whole sheet takes, so that its ticks find room. */
const FILLS = 0.86;

export function toScreen(view: SheetView, at: Place): Place<'screen'> {
  return place(view.width / 2 + (at[0] - view.middle[0]) * view.scale, view.height / 2 - (at[1] - view.middle[1]) * view.scale);
}

export function toSheet(view: SheetView, at: Place<'screen'>): Place {
  return place(view.middle[0] + (at[0] - view.width / 2) / view.scale, view.middle[1] - (at[1] - view.height / 2) / view.scale);
}

/** Return the scale at which a whole sheet fits the frame. */
export function fittingScale(whole: Extent, width: number, height: number): number {
  const across = Math.max(whole.right - whole.left, 1e-6);
  const up = Math.max(whole.high - whole.low, 1e-6);
  return FILLS * Math.min(width / across, height / up);
}

export function fitted(whole: Extent, width: number, height: number): SheetView {
  return { middle: place((whole.left + whole.right) / 2, (whole.low + whole.high) / 2), scale: fittingScale(whole, width, height), width, height };
}

/** Return the view moved by pixels of the screen; the middle never leaves the sheet. */
export function panned(view: SheetView, whole: Extent, across: number, down: number): SheetView {
  return { ...view, middle: held(place(view.middle[0] - across / view.scale, view.middle[1] + down / view.scale), whole) };
}

/** Return the view `factor` times closer, keeping what is under a place of the screen where it is. */
export function zoomed(view: SheetView, whole: Extent, factor: number, about: Place<'screen'> = place(view.width / 2, view.height / 2)): SheetView {
  const fit = fittingScale(whole, view.width, view.height);
  const scale = Math.min(fit * CLOSEST, Math.max(fit * FARTHEST, view.scale * factor));
  const kept = toSheet(view, about);
  const closer = { ...view, scale };
  const now = toSheet(closer, about);
  return { ...closer, middle: held(place(view.middle[0] + kept[0] - now[0], view.middle[1] + kept[1] - now[1]), whole) };
}

/** Return the view moved as little as may be so that a place is in sight, a margin of pixels inside. */
export function bringIn(view: SheetView, at: Place, margin = 40): SheetView {
  const [across, down] = toScreen(view, at);
  const right = inside(across, margin, view.width - margin) - across;
  const lower = inside(down, margin, view.height - margin) - down;
  return { ...view, middle: place(view.middle[0] - right / view.scale, view.middle[1] + lower / view.scale) };
}

/** Return the view in a frame of another size, with the same middle. */
export function resized(view: SheetView, width: number, height: number): SheetView {
  const least = Math.min(width / Math.max(view.width, 1), height / Math.max(view.height, 1));
  return { ...view, width, height, scale: view.scale * least };
}

function held(middle: Place, whole: Extent): Place {
  return place(inside(middle[0], whole.left, whole.right), inside(middle[1], whole.low, whole.high));
}

const inside = (value: number, least: number, most: number): number => Math.min(Math.max(value, least), Math.max(least, most));
