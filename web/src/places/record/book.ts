/** A run of the levels book from the records of this device, reduced as it stands. */

import { closeRun, reduceRun, type Booking, type Closure, type ReducedRun } from '../../geometry/levels_book.ts';
import { get, pointing, type Held } from '../../offline/index.ts';
import { siteQuantity } from '../../parts/form/site_quantity.ts';

export interface Book {
  readonly run: Held;
  /** Lines in their order. */
  readonly sights: readonly Held[];
  readonly reduced: ReducedRun;
  readonly closure: Closure | undefined;
  /** Level of the station that the run starts on; undefined when nobody knows it. */
  readonly benchmark: number | undefined;
  /** Level of the station that it ends on. */
  readonly known: number | undefined;
}

export interface Apart {
  readonly level: Held;
  readonly written: number;
  readonly reduced: number;
}

const numberIn = (one: Held | undefined, field: string): number | undefined => {
  const value = one?.values[field];
  return typeof value === 'number' ? value : undefined;
};

export function bookingOf(sight: Held): Booking {
  return { backsight: numberIn(sight, 'backsight'), intermediate: numberIn(sight, 'intermediate'), foresight: numberIn(sight, 'foresight') };
}

export function bookOf(run: Held): Book {
  const sights = [...pointing('sight', 'run', run.id)].sort((one, other) => (numberIn(one, 'place') ?? 0) - (numberIn(other, 'place') ?? 0));
  const benchmark = numberIn(get(String(run.values['start'] ?? '')), 'level');
  const known = numberIn(get(String(run.values['end'] ?? '')), 'level');
  const { metres } = siteQuantity();
  const reduced = reduceRun(sights.map(bookingOf), benchmark, metres);
  return { run, sights, reduced, closure: closeRun(reduced, known, metres, numberIn(run, 'limit')), benchmark, known };
}

/** Return the levels that differ from what their line of the book gives now, as after a reading was corrected. */
export function levelsApart(book: Book): Apart[] {
  return book.sights.flatMap((sight, at) => {
    const reduced = book.reduced.lines[at]?.level;
    if (reduced === undefined) return [];
    return pointing('level', 'sight', sight.id).flatMap((level) => {
      const written = numberIn(level, 'level');
      return written !== undefined && Math.abs(written - reduced) > 0.0005 ? [{ level, written, reduced }] : [];
    });
  });
}
