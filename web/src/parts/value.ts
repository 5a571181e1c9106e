/** A field's value in words, by what the field measures. */

import type { FieldView } from '../api/schema.ts';
import { shownLength, type ShownIn, type SiteLength, type SiteQuantity } from '../geometry/lengths.ts';
import { words } from '../strings/strings.ts';

/** How values are shown: the site's own quantity and what the reader wants to see. */
export interface Shown {
  readonly site: SiteQuantity;
  readonly lengths: ShownIn;
}

const SIGNS: Readonly<Record<string, string>> = {
  'size in millimetres': 'mm',
  litres: 'l',
  'mass in grams': 'g',
  'bearing in degrees': '°',
  percent: '%',
  hours: 'h',
};

/** Return a value in words; lists are joined. */
export function valueText(value: unknown, field: Pick<FieldView, 'quantity'>, shown: Shown): string {
  const { quantity } = field;
  if (quantity === 'polygon' || quantity === 'path' || quantity === 'position') return positionsText(value, shown);
  if (Array.isArray(value)) return value.map((one) => valueText(one, field, shown)).join('; ');
  if (typeof value === 'boolean') return value ? words.yes : words.no;
  if (typeof value === 'number') return numberText(value, quantity, shown);
  if (quantity === 'file by hash') return `${String(value).slice(0, 12)}…`;
  if (typeof value === 'string') return quantity === 'date' ? dayText(value) : value;
  return JSON.stringify(value);
}

function numberText(value: number, quantity: string, shown: Shown): string {
  if (quantity === 'length' || quantity === 'level') return lengthText(value, shown);
  if (quantity === 'year') return value < 0 ? words.bc(-value) : String(value);
  const number = value.toLocaleString();
  const sign = SIGNS[quantity];
  return sign ? `${number}${sign === '°' || sign === '%' ? '' : '\u00a0'}${sign}` : number;
}

export function lengthText(value: number, shown: Shown): string {
  const { number, sign } = shownLength(value as SiteLength, shown.site, shown.lengths);
  return `${number}\u00a0${sign}`;
}

/** Return a day in the reader's own form; text that is no day stays as it is. */
export function dayText(day: string): string {
  const date = new Date(`${day}T12:00:00`);
  if (Number.isNaN(date.valueOf())) return day;
  return date.toLocaleDateString(undefined, { year: 'numeric', month: 'short', day: 'numeric' }).replaceAll(' ', '\u00a0');
}

/** Return a moment in the reader's own form: the time alone when it is of today. */
export function momentText(milliseconds: number): string {
  const moment = new Date(milliseconds);
  const time = moment.toLocaleTimeString(undefined, { hour: '2-digit', minute: '2-digit' });
  return moment.toDateString() === new Date().toDateString() ? time : `${moment.toLocaleDateString(undefined, { day: 'numeric', month: 'short' })}, ${time}`;
}

function positionsText(value: unknown, shown: Shown): string {
  if (!Array.isArray(value)) return String(value);
  const places = value.map((one) => (Array.isArray(one) ? one.map((part) => bare(Number(part), shown)).join(' ') : bare(Number(one), shown)));
  return places.join('; ');
}

function bare(value: number, shown: Shown): string {
  return shownLength(value as SiteLength, shown.site, shown.lengths).number;
}
