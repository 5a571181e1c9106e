/** The soil colour of a context on the device, for lists and plans; empty when none is written or the page has no such chip. */

import type { Held } from '../offline/index.ts';
import { chipColour } from './form/munsell.ts';

export function soilOf(context: Held | undefined): string {
  const moist = context?.values['colour_moist'];
  return typeof moist === 'string' ? chipColour(moist) : '';
}
