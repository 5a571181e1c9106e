/** Records in the order of their numbers, as people count: 9 before 10, 101 before 101a. */

import type { Held } from '../../offline/index.ts';

const counting = new Intl.Collator(undefined, { numeric: true });

export function byNumber(records: readonly Held[]): Held[] {
  const number = (one: Held): string => String(one.values['number'] ?? '\uffff');
  return [...records].sort((one, other) => counting.compare(number(one), number(other)));
}
