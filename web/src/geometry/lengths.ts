/** Lengths as the site keeps them and as a reader wants them. */

declare const brand: unique symbol;

/** A length, level or co-ordinate in the site's own quantity. */
export type SiteLength = number & { readonly [brand]: 'site length' };

/** A length in metres. */
export type Metres = number & { readonly [brand]: 'metres' };

/** What the reader wants to see: the site's own quantity, metres or international feet. */
export type ShownIn = 'own' | 'm' | 'ft';

/** The quantity in which a site keeps its lengths. */
export interface SiteQuantity {
  readonly unit: string;
  readonly metres: number;
}

/** One international foot in metres: Federal Register 85 FR 62698. */
const FOOT = 0.3048;

const SIGNS: Readonly<Record<string, string>> = { m: 'm', ft: 'ft', ft_us: 'ft (US survey)' };

export function inMetres(length: SiteLength, site: SiteQuantity): Metres {
  return (length * site.metres) as Metres;
}

/** Return the number and the sign of a length as it is shown: its own digits, or converted to the centimetre or hundredth foot. */
export function shownLength(length: SiteLength, site: SiteQuantity, shownIn: ShownIn, decimals = 3): { number: string; sign: string } {
  if (shownIn === 'own' || shownIn === site.unit) {
    return { number: format(length, decimals), sign: SIGNS[site.unit] ?? site.unit };
  }
  const metres = inMetres(length, site);
  return shownIn === 'm' ? { number: format(metres, decimals), sign: 'm' } : { number: format(metres / FOOT, 2), sign: 'ft' };
}

function format(value: number, decimals: number): string {
  return value.toLocaleString(undefined, { maximumFractionDigits: decimals, minimumFractionDigits: Math.min(2, decimals) });
}
