/** Reduced levels of the levels book that no level record rests on yet. */

import { reduceRun, type Booking } from '../../geometry/levels_book.ts';
import { all, get, pointing, type Held } from '../../offline/index.ts';
import { siteQuantity } from '../../parts/form/site_quantity.ts';

export interface BookedLevel {
  /** Id of the line of the book. */
  readonly id: string;
  readonly point: string;
  readonly level: number;
}

/** Return the readings of the latest runs first; a run without a known benchmark gives none. */
export function bookedLevels(): BookedLevel[] {
  const runs = [...all('level_run')].sort((one, other) => other.id.localeCompare(one.id));
  return runs.flatMap((run) => levelsOf(run).reverse());
}

function levelsOf(run: Held): BookedLevel[] {
  const lines = [...pointing('sight', 'run', run.id)].sort((one, other) => Number(one.values['place'] ?? 0) - Number(other.values['place'] ?? 0));
  const start = run.values['start'];
  const known = typeof start === 'string' ? get(start)?.values['level'] : undefined;
  if (typeof known !== 'number') return [];
  const reduced = reduceRun(lines.map(booking), known, siteQuantity().metres);
  return lines.flatMap((line, index) => {
    const level = reduced.lines[index]?.level;
    if (level === undefined || typeof line.values['intermediate'] !== 'number' || pointing('level', 'sight', line.id).length > 0) return [];
    return [{ id: line.id, point: String(line.values['point'] ?? index + 1), level }];
  });
}

function booking(line: Held): Booking {
  const number = (field: string): number | undefined => (typeof line.values[field] === 'number' ? (line.values[field] as number) : undefined);
  return { backsight: number('backsight'), intermediate: number('intermediate'), foresight: number('foresight') };
}
