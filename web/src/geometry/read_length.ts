/** Lengths as they are written on a sheet: metres, feet and tenths, feet and inches; the rules of the record's own reader. */

import { lengthRefusals as say } from '../strings/record_rules.ts';
import type { SiteLength } from './lengths.ts';

export type LengthForm = 'metres' | 'feet and decimal parts' | 'feet and inches';
export type LengthUnit = 'm' | 'ft' | 'ft_us';

export interface ReadLength {
  readonly metres: number;
  /** The same length in the site's own quantity. */
  readonly own: SiteLength;
  readonly form: LengthForm;
  readonly unit: LengthUnit;
  readonly written: string;
}

/** Why a text is no length, in trade words. */
export class LengthRefusal extends Error {}

/** An exact fraction, so that tenths of a foot do not gather rounding. */
interface Exact {
  readonly top: bigint;
  readonly bottom: bigint;
}

const METRES: Readonly<Record<LengthUnit, Exact>> = {
  m: { top: 1n, bottom: 1n },
  ft: { top: 3048n, bottom: 10000n },
  ft_us: { top: 1200n, bottom: 3937n },
};

const LONGEST = 60;
const VULGAR: Readonly<Record<string, string>> = { '½': '1/2', '¼': '1/4', '¾': '3/4', '⅛': '1/8', '⅜': '3/8', '⅝': '5/8', '⅞': '7/8' };
const MARKS: Readonly<Record<string, string>> = {
  '′': "'", '’': "'", '‘': "'", '″': '"', '”': '"', '“': '"', '−': '-', '\u00a0': ' ', '\u2009': ' ',
};

const NUMBER = '[0-9]+(?:\\.[0-9]+)?|\\.[0-9]+';
const FOOT_WORDS = "ft_us|ftus|usft|us survey (?:ft|foot|feet)|us ft|survey (?:ft|foot|feet)|ft|foot|feet|'";
const INCH_WORDS = 'inches|inch|in|"';
const BARE = new RegExp(`^(?:${NUMBER})$`);
const METRIC = new RegExp(`^(${NUMBER})\\s*(m|cm|mm|met(?:re|er)s?|centimet(?:re|er)s?|millimet(?:re|er)s?)\\.?$`);
const FEET = new RegExp(`^(${NUMBER})\\s*(${FOOT_WORDS})\\.?$`);
const INCHES = `(?:(?<inch>${NUMBER})(?:\\s+(?<top>[0-9]+)/(?<bottom>[0-9]+))?|(?<onlyTop>[0-9]+)/(?<onlyBottom>[0-9]+))`;
const FEET_INCHES = new RegExp(`^(?:(?<feet>${NUMBER})\\s*(?<foot>${FOOT_WORDS})\\.?\\s*[,-]?\\s*)?${INCHES}\\s*(?:${INCH_WORDS})\\.?$`);
const INCH_MARK_MISSING = new RegExp(`^(?:${NUMBER})\\s*(?:${FOOT_WORDS})\\.?\\s*-?\\s*[0-9].*$`);

/** Read one length; a bare number and “ft” are in the site's own quantity. Throws `LengthRefusal`. */
export function readLength(text: string, own: LengthUnit): ReadLength {
  if (text.trim() === '') throw new LengthRefusal(say.blank);
  if (text.length > LONGEST) throw refused(text, say.tooLong);
  const { sign, body } = prepared(text);
  if (body.includes(',') && !/(?:ft|'|feet|foot)\.?\s*,/.test(body)) throw refused(text, say.comma, say.commaNext);
  const { exact, form, unit } = parts(text, body, own);
  const metres = toNumber(times(exact, METRES[unit]));
  const inOwn = unit === own ? exact : over(times(exact, METRES[unit]), METRES[own]);
  return { metres: sign * metres, own: (sign * toNumber(inOwn)) as SiteLength, form, unit, written: text };
}

function prepared(text: string): { sign: 1 | -1; body: string } {
  let body = [...text].map((mark) => MARKS[mark] ?? mark).join('').replaceAll("''", '"');
  for (const [mark, plain] of Object.entries(VULGAR)) body = body.replaceAll(mark, ` ${plain}`);
  body = body.toLowerCase().split(/\s+/).filter(Boolean).join(' ');
  if (!/^[-+]/.test(body)) return { sign: 1, body };
  return { sign: body.startsWith('-') ? -1 : 1, body: body.slice(1).trimStart() };
}

/** Return the exact length in the metre or foot that it was written in. */
function parts(text: string, body: string, own: LengthUnit): { exact: Exact; form: LengthForm; unit: LengthUnit } {
  if (BARE.test(body)) return { exact: fraction(body), form: own === 'm' ? 'metres' : 'feet and decimal parts', unit: own };
  const metric = METRIC.exec(body);
  if (metric) {
    const word = metric[2] ?? '';
    const share = word.startsWith('c') ? 100n : word.startsWith('mm') || word.startsWith('milli') ? 1000n : 1n;
    return { exact: over(fraction(metric[1] ?? '0'), { top: share, bottom: 1n }), form: 'metres', unit: 'm' };
  }
  const feet = FEET.exec(body);
  if (feet) return { exact: fraction(feet[1] ?? '0'), form: 'feet and decimal parts', unit: footOf(feet[2] ?? '', own) };
  const inches = FEET_INCHES.exec(body)?.groups;
  if (inches) {
    const whole = plus(fraction(inches['feet'] ?? '0'), over(inchesOf(text, inches), { top: 12n, bottom: 1n }));
    return { exact: whole, form: 'feet and inches', unit: footOf(inches['foot'] ?? 'ft', own) };
  }
  if (INCH_MARK_MISSING.test(body)) throw refused(text, say.inchMark, say.inchMarkNext);
  throw refused(text, say.unreadable);
}

function footOf(word: string, own: LengthUnit): LengthUnit {
  return word.includes('us') || word.includes('survey') || own === 'ft_us' ? 'ft_us' : 'ft';
}

/** Return the exact inches, refusing what no tape shows. */
function inchesOf(text: string, found: Record<string, string | undefined>): Exact {
  const { feet, inch = '0' } = found;
  const top = found['top'] ?? found['onlyTop'];
  const bottom = found['bottom'] ?? found['onlyBottom'];
  if (feet?.includes('.')) throw refused(text, say.mixed(feet), say.mixedNext);
  if (inch.includes('.') && found['top']) throw refused(text, say.both, say.bothNext);
  if (top && bottom && (![2, 4, 8, 16].includes(Number(bottom)) || Number(top) >= Number(bottom))) {
    throw refused(text, say.noTape(`${top}/${bottom}`), say.noTapeNext);
  }
  const inches = top && bottom ? plus(fraction(inch), { top: BigInt(top), bottom: BigInt(bottom) }) : fraction(inch);
  if (feet !== undefined && inches.top >= 12n * inches.bottom) throw refused(text, say.aFoot(inch), say.aFootNext);
  return inches;
}

function refused(text: string, why: string, next: string = say.next): LengthRefusal {
  return new LengthRefusal(say.given(text, why, next));
}

function fraction(text: string): Exact {
  const [whole = '', decimals = ''] = text.split('.');
  return { top: BigInt((whole || '0') + decimals), bottom: 10n ** BigInt(decimals.length) };
}

const times = (one: Exact, other: Exact): Exact => ({ top: one.top * other.top, bottom: one.bottom * other.bottom });
const over = (one: Exact, other: Exact): Exact => ({ top: one.top * other.bottom, bottom: one.bottom * other.top });
const plus = (one: Exact, other: Exact): Exact => ({ top: one.top * other.bottom + other.top * one.bottom, bottom: one.bottom * other.bottom });

/** Return the nearest number, after taking out what top and bottom share. */
function toNumber({ top, bottom }: Exact): number {
  let [larger, smaller] = [top, bottom];
  while (smaller !== 0n) [larger, smaller] = [smaller, larger % smaller];
  return larger === 0n ? 0 : Number(top / larger) / Number(bottom / larger);
}
