/** What is typed into a box, as the value that the record keeps; and a kept value as it stands in its box. */

import type { FieldView } from '../../api/schema.ts';
import { LengthRefusal, readLength, type LengthUnit } from '../../geometry/read_length.ts';
import { box } from '../../strings/record.ts';

/** What a box needs to know of its field. */
export type BoxField = Pick<FieldView, 'quantity' | 'many'>;

export interface Reading {
  /** The value to keep; null blanks the field. */
  readonly value: unknown;
  /** The words as typed, when the value was worked out from them. */
  readonly entered?: string;
}

/** Why what was typed cannot be kept, in words. */
export class BoxRefusal extends Error {}

interface Bounds {
  readonly least: number;
  readonly most: number;
  readonly whole?: boolean;
}

const ANY: Bounds = { least: -Infinity, most: Infinity };
const BOUNDS: Readonly<Record<string, Bounds>> = {
  'size in millimetres': { least: 0, most: Infinity },
  litres: { least: 0, most: Infinity },
  'mass in grams': { least: 0, most: Infinity },
  hours: { least: 0, most: Infinity },
  percent: { least: 0, most: 100 },
  'bearing in degrees': { least: 0, most: 360 },
  count: { least: 0, most: Infinity, whole: true },
  year: { least: -3_000_000, most: 2200, whole: true },
};

export const isLength = (quantity: string): boolean => quantity === 'length' || quantity === 'level';
export const isNumber = (quantity: string): boolean => isLength(quantity) || quantity === 'number' || quantity in BOUNDS;
const isPlaces = (quantity: string): boolean => quantity === 'polygon' || quantity === 'path';

/** Read what stands in a box; an empty box is a blank. Throws `BoxRefusal` or `LengthRefusal`. */
export function readValue(text: string, field: BoxField, own: LengthUnit): Reading {
  if (text.trim() === '') return { value: null };
  if (isPlaces(field.quantity)) return { value: placesIn(text, own) };
  if (!isNumber(field.quantity)) return { value: field.many ? listed(text) : text.trim() };
  const parts = field.many ? listed(text) : [text];
  const values = parts.map((part) => readNumber(part, field.quantity, own));
  const value = field.many ? values : values[0];
  const plain = parts.every((part, at) => part.trim() === String(values[at]));
  return isLength(field.quantity) && !plain ? { value, entered: text.trim() } : { value };
}

/** Return a kept value as it stands in its box. */
export function typedOf(value: unknown, field: BoxField): string {
  if (value === undefined || value === null) return '';
  if (isPlaces(field.quantity) && Array.isArray(value)) {
    return value.map((place) => (Array.isArray(place) ? place.map((part) => plainNumber(Number(part))).join(' ') : String(place))).join('; ');
  }
  if (Array.isArray(value)) return value.map((one) => (typeof one === 'number' ? plainNumber(one) : String(one))).join('; ');
  return typeof value === 'number' ? plainNumber(value) : String(value);
}

function readNumber(text: string, quantity: string, own: LengthUnit): number {
  if (isLength(quantity)) return rounded(readLength(text, own).own);
  let tidy = text.trim().replace('\u2212', '-').replace(/\s*(?:%|°|mm|g|l|h)$/, '');
  const before = quantity === 'year' && /^(\d+)\s*(?:bc|bce)$/i.exec(tidy);
  if (before) tidy = `-${before[1]}`;
  if (tidy.includes(',')) throw new BoxRefusal(box.comma(text));
  const value = /^[-+]?(?:\d+(?:\.\d+)?|\.\d+)$/.test(tidy) ? Number(tidy) : NaN;
  if (Number.isNaN(value)) throw new BoxRefusal(box.noNumber(text));
  const { least, most, whole } = BOUNDS[quantity] ?? ANY;
  if (whole && !Number.isInteger(value)) throw new BoxRefusal(box.notWhole(text));
  if (quantity === 'year' && value === 0) throw new BoxRefusal(box.yearNought);
  if (value < least || value > most) throw new BoxRefusal(box.outside(text, least, most));
  return value;
}

function placesIn(text: string, own: LengthUnit): number[][] {
  return listed(text).map((place, at) => {
    const parts = place.split(/[\s,]+/).filter(Boolean);
    if (parts.length !== 2) throw new BoxRefusal(box.noPlace(at + 1, place));
    return parts.map((part) => {
      try {
        return rounded(readLength(part, own).own);
      } catch (refusal) {
        throw refusal instanceof LengthRefusal ? new BoxRefusal(box.noPlace(at + 1, place)) : refusal;
      }
    });
  });
}

function listed(text: string): string[] {
  return text.split(/[;\n]/).map((part) => part.trim()).filter(Boolean);
}

/** A tenth of a millimetre and less is rounding, not measuring. */
function rounded(value: number): number {
  return Number(value.toFixed(6));
}

function plainNumber(value: number): string {
  return String(Number(value.toFixed(6)));
}
