/** The two sides of a relation while they are pressed: which one waits, how they begin, what a fill over a cut is taken for. */

import { get, pointing, type Held } from '../../offline/index.ts';

export type Slot = 'over' | 'under';
export type Sides = Readonly<Record<Slot, string>>;

/** Return the side that the next press fills: the empty one, that below first once both are; the one asked for where both stand. */
export function waitingOf(sides: Sides, asked: Slot = 'under'): Slot {
  if (sides.over === '') return 'over';
  return sides.under === '' ? 'under' : asked;
}

/** Return the sides the other way round. */
export const turned = ({ over, under }: Sides): Sides => ({ over: under, under: over });

/**
 * Return the sides with which a relation of a context begins.
 *
 * Who digs down meets a new context below what is known already: it begins as the earlier one. Once something lies over it, or it
 * fills its cut, what it lies over is asked for next.
 */
export function begun(from: string): Sides {
  if (from === '') return { over: '', under: '' };
  const covered = pointing('relation', 'earlier', from).length > 0;
  return covered ? { over: from, under: '' } : { over: '', under: from };
}

/** Return how two contexts most likely meet, from what they are; empty where nothing is likelier than the rest. */
export function likelyHow({ over, under }: Sides): string {
  const [fill, cut] = [get(over), get(under)];
  if (fill?.values['kind'] !== 'fill' || cut?.values['kind'] !== 'cut') return '';
  const said = fill.values['fill_of'];
  const other = pointing('relation', 'later', over).some((one) => one.values['how'] === 'fills' && one.values['earlier'] !== under);
  return (said === undefined && !other) || said === under ? 'fills' : '';
}

/** Tell whether a context is a fill of which nothing says yet what cut it fills. */
export function isCutless(context: Held | undefined): context is Held {
  if (context?.values['kind'] !== 'fill' || context.values['fill_of'] !== undefined || context.absences['fill_of'] !== undefined) return false;
  return !pointing('relation', 'later', context.id).some((one) => one.values['how'] === 'fills');
}
