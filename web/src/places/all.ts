import type { Place } from './place.ts';

const found = import.meta.glob<{ place: Place }>('./*/place.ts', { eager: true });

/** Every place, in order. */
export const places: readonly Place[] = Object.values(found)
  .map((module) => module.place)
  .sort((one, other) => one.rank - other.rank);
