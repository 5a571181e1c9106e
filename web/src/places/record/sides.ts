/** The two sheets on which a relation is entered, as a check: which one still wants it. */

import type { Held } from '../../offline/index.ts';

/** Return the id of the context on whose sheet the relation is not written yet; empty when both have it, or a drawing does. */
export function sideWanting(relation: Held): string {
  const { sheet, later, earlier } = relation.values;
  if (sheet === "later's sheet") return String(earlier ?? '');
  if (sheet === "earlier's sheet") return String(later ?? '');
  return '';
}
