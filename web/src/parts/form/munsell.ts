/** Munsell notation as it is written on the device: one spelling, and the colour of a chip on its page. */

import { CHROMAS, PAGES } from '../munsell_chips.ts';

const CHROMATIC = /^(\d{1,2}(?:\.\d+)?)\s*(R|YR|Y|GY|G|BG|B|PB|P|RP)\s*(\d(?:\.\d+)?|10)\s*\/\s*(\d{1,2}(?:\.\d+)?)$/;
const NEUTRAL = /^N\s*(10|\d(?:\.\d+)?)\s*(?:\/\s*0?)?$/;

/** Return the notation in the record's one spelling, such as 10YR 4/3 or N 3/0; undefined when it is none. */
export function readMunsell(text: string): string | undefined {
  const tidy = text.trim().toUpperCase();
  const grey = NEUTRAL.exec(tidy);
  if (grey) return `N ${Number(grey[1])}/0`;
  const found = CHROMATIC.exec(tidy);
  if (!found) return undefined;
  const [hue, value, chroma] = [Number(found[1]), Number(found[3]), Number(found[4])];
  if (hue <= 0 || hue > 10) return undefined;
  return chroma === 0 ? `N ${value}/0` : `${hue}${found[2]} ${value}/${chroma}`;
}

/** Return the colour of a chip as #RRGGBB; empty when its page has no such chip. */
export function chipColour(notation: string): string {
  const [hue = '', rest = ''] = notation.split(' ');
  const [value = '', chroma = ''] = rest.split('/');
  const row = PAGES[hue]?.[value]?.split(' ');
  const chip = hue === 'N' ? row?.[0] : row?.[CHROMAS.indexOf(chroma as (typeof CHROMAS)[number])];
  return chip && chip !== '-' ? `#${chip}` : '';
}

export interface Chip {
  readonly notation: string;
  readonly colour: string;
}

/** Return the rows of a page, light to dark; undefined where a page has no chip. */
export function pageOf(hue: string): { value: string; chips: (Chip | undefined)[] }[] {
  const rows = Object.entries(PAGES[hue] ?? {}).sort(([one], [other]) => Number(other) - Number(one));
  return rows.map(([value, row]) => ({
    value,
    chips: row.split(' ').map((chip, at) => (chip === '-' ? undefined : { notation: hue === 'N' ? `N ${value}/0` : `${hue} ${value}/${CHROMAS[at]}`, colour: `#${chip}` })),
  }));
}

export const HUES: readonly string[] = Object.keys(PAGES);
