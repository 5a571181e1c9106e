/** The quantity in which the site keeps its lengths, from the device's own copy of the site record. */

import type { SiteQuantity } from '../../geometry/lengths.ts';
import type { LengthUnit } from '../../geometry/read_length.ts';
import { all } from '../../offline/index.ts';
import { theSite } from '../held.svelte.ts';

/** Metres to one of each: the metre, the international foot, the US survey foot (Federal Register 85 FR 62698). */
const METRES: Readonly<Record<LengthUnit, number>> = { m: 1, ft: 0.3048, ft_us: 1200 / 3937 };

export function siteQuantity(): SiteQuantity & { readonly unit: LengthUnit } {
  const named = all('site')[0]?.values['length_unit'] ?? theSite().length_unit;
  const unit: LengthUnit = named === 'ft' || named === 'ft_us' ? named : 'm';
  return { unit, metres: METRES[unit] };
}
