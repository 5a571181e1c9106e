/** The colour of a Munsell notation on the screen, from the soil colour chips. */

import { CHROMAS, PAGES } from '../../parts/munsell_chips.ts';

const NOTATION = /^(?:(N)|([\d.]+[A-Z]{1,2}))\s+([\d.]+)\/([\d.]+)$/;

/** Return `#RRGGBB`, or undefined when no chip has that notation. */
export function soilColour(notation: unknown): string | undefined {
  const found = typeof notation === 'string' ? NOTATION.exec(notation) : null;
  if (!found) return undefined;
  const [, neutral, hue, value = '', chroma = ''] = found;
  const page = PAGES[neutral ?? hue ?? '']?.[value];
  if (page === undefined) return undefined;
  const chip = page.split(' ')[neutral ? 0 : CHROMAS.findIndex((one) => one === chroma)];
  return chip && chip !== '-' ? `#${chip}` : undefined;
}
