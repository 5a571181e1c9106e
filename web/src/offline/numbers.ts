/** Numbers come from this device's own blocks, so that two devices out of reach of each other never give the same. */

import { OutOfNumbers } from './refusals.ts';
import { all, numbersOf } from './records.svelte.ts';
import { state } from './state.svelte.ts';

/** Return the next free number of a kind for the person of this device; it is not taken until a record has it. */
export async function nextNumber(kind: string): Promise<string> {
  let number = freeNumbers(kind)[0];
  if (number === undefined && refill) {
    await refill(kind).catch(() => undefined);
    number = freeNumbers(kind)[0];
  }
  if (number === undefined) throw new OutOfNumbers(kind.replaceAll('_', ' '));
  return String(number);
}

/** Return the numbers of a kind that are still free in this recorder's blocks. */
export function freeNumbers(kind: string): number[] {
  const used = numbersOf(kind);
  return all('number_block')
    .filter((block) => block.values['series'] === kind && block.values['person'] === state.person)
    .map((block) => ({ first: Number(block.values['first']), last: Number(block.values['last']) }))
    .sort((one, other) => one.first - other.first)
    .flatMap(({ first, last }) => Array.from({ length: Math.max(0, last - first + 1) }, (_, at) => first + at))
    .filter((number) => !used.has(String(number)));
}

let refill: ((kind: string) => Promise<void>) | undefined;

/** Let numbers be fetched when a block is used up. */
export function onEmpty(fetchMore: (kind: string) => Promise<void>): void {
  refill = fetchMore;
}
