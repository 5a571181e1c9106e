/** Places on a plan, a wall's face, a photo or the screen: pairs of numbers that cannot be taken for one another. */

declare const brand: unique symbol;

/** What a place lies on: the site grid, a wall's face, a photo, the screen. */
export type On = 'plan' | 'wall' | 'photo' | 'screen';

/** What can be drawn on. */
export type SheetKind = Exclude<On, 'screen'>;

/**
 * A place. On a plan easting and northing, on a wall distance from its left end and level, both in the site's own lengths; on a photo
 * column and row in pixels, the row negative so that up is up; on the screen pixels to the right and down.
 */
export type Place<O extends On = SheetKind> = readonly [across: number, up: number] & { readonly [brand]: O };

export const place = <O extends On = SheetKind>(across: number, up: number): Place<O> => [across, up] as unknown as Place<O>;

/** A box that holds places, from its lower left to its upper right. */
export interface Extent {
  readonly left: number;
  readonly low: number;
  readonly right: number;
  readonly high: number;
}

export function apart<O extends On>(one: Place<O>, other: Place<O>): number {
  return Math.hypot(one[0] - other[0], one[1] - other[1]);
}

/** Return the place a share of the way from one to another. */
export function between<O extends On>(one: Place<O>, other: Place<O>, share: number): Place<O> {
  return place(one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1]));
}

/** Return the place rounded to so many decimals: a drawn corner is good to the millimetre at best. */
export function rounded<O extends On>(one: Place<O>, decimals = 3): Place<O> {
  const by = 10 ** decimals;
  return place(Math.round(one[0] * by) / by, Math.round(one[1] * by) / by);
}

/** Return the nearest place on the straight line between two, and how far along it lies, from 0 to 1. */
export function nearestOn<O extends On>(from: Place<O>, start: Place<O>, end: Place<O>): { at: Place<O>; share: number } {
  const along = [end[0] - start[0], end[1] - start[1]] as const;
  const square = along[0] ** 2 + along[1] ** 2;
  const share = square === 0 ? 0 : ((from[0] - start[0]) * along[0] + (from[1] - start[1]) * along[1]) / square;
  const held = Math.min(1, Math.max(0, share));
  return { at: between(start, end, held), share: held };
}

/** Return the box round some places; undefined when there are none. */
export function extentOf(places: Iterable<Place>): Extent | undefined {
  let [left, low, right, high] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [across, up] of places) {
    left = Math.min(left, across);
    right = Math.max(right, across);
    low = Math.min(low, up);
    high = Math.max(high, up);
  }
  return left <= right ? { left, low, right, high } : undefined;
}

/** Return the places of a field's value; an empty list when it holds none. */
export function placesOf<O extends SheetKind>(value: unknown): Place<O>[] {
  if (!Array.isArray(value)) return [];
  return value.filter((one): one is [number, number] => Array.isArray(one) && one.length === 2).map(([across, up]) => place<O>(across, up));
}

/** Return the bearing from one place on the plan to another, degrees clockwise from grid north, 0 up to 360. */
export function bearingOf(from: Place<'plan'>, to: Place<'plan'>): number {
  const degrees = (Math.atan2(to[0] - from[0], to[1] - from[1]) * 180) / Math.PI;
  return (degrees + 360) % 360;
}
