/** A place and what it snapped to, in words. */

import type { Place, SheetKind } from '../../geometry/places.ts';
import type { Snapped } from '../../geometry/snap.ts';
import { drawWords } from '../../strings/draw.ts';

/** Return a place as it is written: easting and northing, distance and level, or column and row. */
export function placeWords(kind: SheetKind, [across, up]: Place): string {
  if (kind === 'photo') return drawWords.pixel(across.toFixed(1), (-up).toFixed(1));
  return kind === 'plan' ? drawWords.onPlan(across.toFixed(3), up.toFixed(3)) : drawWords.onWall(across.toFixed(3), up.toFixed(3));
}

/** Return what a place snapped to, led by a comma; empty when to nothing. */
export function snapWords(found: Snapped): string {
  const words = drawWords.snapped[found.to];
  return words ? `, ${words}` : '';
}
