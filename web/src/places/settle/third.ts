/** A third value, typed where neither of two is right. */

import type { FieldView } from '../../api/schema.ts';
import { sync } from '../../strings/sync.ts';

const WORDS = ['text', 'word', 'date', 'Munsell colour'];
const NUMBERS = ['number', 'length', 'level', 'size in millimetres', 'area', 'litres', 'mass in grams', 'bearing in degrees', 'percent', 'count', 'hours', 'year'];

/** Tell whether a value of this field can be typed in one line. */
export function takesThird(field: FieldView | undefined): boolean {
  return field !== undefined && !field.refers && [...WORDS, ...NUMBERS].includes(field.quantity);
}

/** Return the value that was typed, or why it is none. */
export function readThird(text: string, field: FieldView | undefined): { value: unknown } | { refusal: string } {
  const tidy = text.trim();
  if (!field || !NUMBERS.includes(field.quantity)) return { value: tidy };
  const number = Number(tidy.replace(/[\u2212]/g, '-').replace(/,(?=\d+$)/, '.'));
  return tidy === '' || Number.isNaN(number) ? { refusal: sync.notANumber(tidy) } : { value: number };
}
