/** A new record with what is known of it already: its number, who writes, on which day. */

import { wordsOf } from '../../api/refusal_words.ts';
import { create, device, nextNumber, numbered, OutOfNumbers } from '../../offline/index.ts';
import { today } from '../../parts/form/today.ts';
import { record as say } from '../../strings/record.ts';

export const signed = (): Record<string, unknown> => ({ recorded_by: device.person, recorded_on: today() });

/** Return values without the blank ones. */
export function filled(values: Record<string, unknown>): Record<string, unknown> {
  const isBlank = (value: unknown): boolean => value === undefined || value === null || value === '' || (Array.isArray(value) && value.length === 0);
  return Object.fromEntries(Object.entries(values).filter(([, value]) => !isBlank(value)));
}

/** Return the next number of the recorder's block, or the one from paper; throws in words when that one is used. */
export async function numberFor(kind: string, fromPaper = ''): Promise<string> {
  const paper = fromPaper.trim();
  if (paper && numbered(kind, paper)) throw new Error(say.numberTaken(kind, paper));
  return paper || nextNumber(kind);
}

/** Make a numbered record with the next number of the recorder's block, or with one from paper. */
export async function make(kind: string, values: Record<string, unknown>, fromPaper = ''): Promise<string> {
  return create(kind, filled({ number: await numberFor(kind, fromPaper), ...values, ...signed() }));
}

/** Return the words of a refusal, and whether no number was left. */
export function refusalOf(refusal: unknown, before = false): { words: string; numberless: boolean } {
  return { words: wordsOf(refusal), numberless: before || refusal instanceof OutOfNumbers };
}
