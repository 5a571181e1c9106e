/** The sheets of a unit: its walls by their faces, its photos. */

import { placesOf, type Place } from '../../geometry/places.ts';
import { pointing, type Held } from '../../offline/index.ts';

export const FACES = ['north', 'east', 'south', 'west'] as const;
export type Face = (typeof FACES)[number];

/** Return the wall drawn of a face; undefined while there is none. */
export function wallOn(unit: string, face: Face): Held | undefined {
  return pointing('wall', 'unit', unit).find((one) => one.values['face'] === face);
}

/** Return the photos that show a unit, by number. */
export function photosOf(unit: string): readonly Held[] {
  const number = (one: Held): string => String(one.values['number'] ?? '');
  return [...pointing('photo', 'unit', unit)].sort((one, other) => number(one).localeCompare(number(other), undefined, { numeric: true }));
}

/**
 * Return the left and the right end of a face as seen from inside a unit; undefined where its corners do not tell. Corners run
 * anticlockwise from the south-west one, so whoever looks north has the north-west corner at the left.
 */
export function endsOf(unit: Held, face: Face): readonly [Place<'plan'>, Place<'plan'>] | undefined {
  const [southWest, southEast, northEast, northWest, ...more] = placesOf<'plan'>(unit.values['corners']);
  if (!southWest || !southEast || !northEast || !northWest || more.length > 0) return undefined;
  const ends = {
    north: [northWest, northEast],
    east: [northEast, southEast],
    south: [southEast, southWest],
    west: [southWest, northWest],
  } as const;
  return ends[face];
}
