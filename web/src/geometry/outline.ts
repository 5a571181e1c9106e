/** From what the hand drew to an outline whose edges have kinds. */

import { apart, rounded, type On, type Place } from './places.ts';
import { anticlockwise, withoutRepeats, type Edge, type Ring } from './ring.ts';
import { simplified } from './simplify.ts';
import { alongLimit, onOneSide, snapped, type Limit, type Snapped } from './snap.ts';

/** How far things may lie from one another and still count as one, in the sheet's lengths. */
export interface Reach {
  readonly snap: number;
  /** How far a stroke's places may lie from the line that is kept. */
  readonly tolerance: number;
}

export interface Around<O extends On = 'plan' | 'wall' | 'photo'> {
  readonly limit: Limit<O>;
  readonly neighbours: readonly (readonly Place<O>[])[];
}

/** Return a stroke as corners: thinned, each snapped to what lies near, every edge of one kind. */
export function cornersOf<O extends On>(stroke: readonly Place<O>[], kind: Edge, reach: Reach, around: Around<O>): Corner<O>[] {
  const found = simplified(stroke, reach.tolerance).map((one) => ({ ...snapped(one, reach.snap, around.limit, around.neighbours), kind }));
  return found.filter((one, index) => index === 0 || apart(one.at, (found[index - 1] as Corner<O>).at) > reach.tolerance / 4);
}

/** A corner of an outline being drawn, and the kind of the edge that leaves it. */
export interface Corner<O extends On = 'plan' | 'wall' | 'photo'> extends Snapped<O> {
  readonly kind: Edge;
}

/**
 * Return the closed outline through corners. An edge along a side of the limit is a limit of excavation; where both ends lie on the limit
 * the outline closes along it, the shorter way round unless the longer is asked for.
 */
export function closedOutline<O extends On>(corners: readonly Corner<O>[], limit: Limit<O>, longer = false): Ring<O> | undefined {
  const [first, last] = [corners[0], corners[corners.length - 1]];
  if (!first || !last || corners.length < 2) return undefined;
  const places = corners.map((one) => one.at);
  const edges: Edge[] = corners.slice(1).map((one, index) => edgeBetween(corners[index] as Corner<O>, one, limit));
  const straight = edgeBetween(last, first, limit);
  if (!onOneSide(last.along, first.along, limit) && last.along !== undefined && first.along !== undefined) {
    const way = alongLimit(last, first, limit, longer);
    places.push(...way);
    edges.push(...Array.from({ length: way.length + 1 }, (): Edge => 'limit of excavation'));
  } else {
    edges.push(straight);
  }
  const ring = withoutRepeats({ corners: places.map((one) => rounded(one)), edges }, 0.0005);
  return ring.corners.length >= 3 ? anticlockwise(ring) : undefined;
}

/** Return the kind of an edge between two corners: along one side of the limit it is a limit of excavation. */
export function edgeBetween<O extends On>(one: Corner<O>, other: Snapped<O>, limit: Limit<O>): Edge {
  return onOneSide(one.along, other.along, limit) ? 'limit of excavation' : one.kind;
}
