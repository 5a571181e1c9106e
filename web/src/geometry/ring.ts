/** Closed outlines whose every edge has a kind: edge 1 runs from corner 1 to 2, the last one back to the first. */

import { place, type On, type Place } from './places.ts';

/** Kinds of edge, as the record's closed list has them. */
export const EDGES = ['seen', 'uncertain', 'cut away', 'limit of excavation'] as const;
export type Edge = (typeof EDGES)[number];

export interface Ring<O extends On = 'plan' | 'wall' | 'photo'> {
  readonly corners: readonly Place<O>[];
  readonly edges: readonly Edge[];
}

/** Return the area inside, positive when the corners run anticlockwise. */
export function signedArea<O extends On>(corners: readonly Place<O>[]): number {
  let twice = 0;
  corners.forEach((here, index) => {
    const next = corners[(index + 1) % corners.length] as Place<O>;
    twice += here[0] * next[1] - next[0] * here[1];
  });
  return twice / 2;
}

/** Return the ring run the other way when its corners run clockwise: rings are kept anticlockwise. */
export function anticlockwise<O extends On>(ring: Ring<O>): Ring<O> {
  if (signedArea(ring.corners) >= 0) return ring;
  const edges = [...ring.edges.slice(0, -1)].reverse();
  const closing = ring.edges[ring.edges.length - 1];
  return { corners: [...ring.corners].reverse(), edges: closing === undefined ? edges : [...edges, closing] };
}

/** Return the ring with a corner moved. */
export function withMoved<O extends On>(ring: Ring<O>, corner: number, to: Place<O>): Ring<O> {
  return { ...ring, corners: ring.corners.map((one, index) => (index === corner ? to : one)) };
}

/** Return the ring with a new corner on an edge; both halves keep its kind. */
export function withInserted<O extends On>(ring: Ring<O>, edge: number, at: Place<O>): Ring<O> {
  const kind = ring.edges[edge];
  if (kind === undefined) return ring;
  return {
    corners: [...ring.corners.slice(0, edge + 1), at, ...ring.corners.slice(edge + 1)],
    edges: [...ring.edges.slice(0, edge), kind, kind, ...ring.edges.slice(edge + 1)],
  };
}

/** Return the ring without a corner; of the two edges that become one, the earlier's kind stays. */
export function withoutCorner<O extends On>(ring: Ring<O>, corner: number): Ring<O> {
  if (corner < 0 || corner >= ring.corners.length) return ring;
  return { corners: ring.corners.filter((_, index) => index !== corner), edges: ring.edges.filter((_, index) => index !== corner) };
}

export function withEdge<O extends On>(ring: Ring<O>, edge: number, kind: Edge): Ring<O> {
  return { ...ring, edges: ring.edges.map((one, index) => (index === edge ? kind : one)) };
}

/** Two edges that cross, counted from 0, and where. */
export interface Crossing<O extends On = 'plan' | 'wall' | 'photo'> {
  readonly one: number;
  readonly other: number;
  readonly at: Place<O>;
}

/** Return the first two edges that cross or touch though they are no neighbours; undefined when the outline is sound. */
export function crossingOf<O extends On>(corners: readonly Place<O>[]): Crossing<O> | undefined {
  const count = corners.length;
  const corner = (index: number): Place<O> => corners[index % count] as Place<O>;
  for (let one = 0; one < count; one += 1) {
    for (let other = one + 2; other < count; other += 1) {
      if (one === 0 && other === count - 1) continue;
      const at = meeting(corner(one), corner(one + 1), corner(other), corner(other + 1));
      if (at) return { one, other, at };
    }
  }
  return undefined;
}

/** Return the outline without its smaller loops: at each crossing the larger part stays. Undefined when nothing is left. */
export function mended<O extends On>(ring: Ring<O>): Ring<O> | undefined {
  let held = ring;
  for (let turn = 0; turn <= ring.corners.length; turn += 1) {
    const found = crossingOf(held.corners);
    if (!found) return held.corners.length >= 3 ? held : undefined;
    held = largerPart(held, found);
  }
  return undefined;
}

function largerPart<O extends On>(ring: Ring<O>, { one, other, at }: Crossing<O>): Ring<O> {
  const pick = <T>(list: readonly T[], from: number, to: number): T[] => list.slice(from, to);
  const loop = { corners: [at, ...pick(ring.corners, one + 1, other + 1)], edges: pick(ring.edges, one, other + 1) };
  const rest = {
    corners: [...pick(ring.corners, 0, one + 1), at, ...pick(ring.corners, other + 1, ring.corners.length)],
    edges: [...pick(ring.edges, 0, one + 1), ...pick(ring.edges, other, ring.edges.length)],
  };
  const larger = Math.abs(signedArea(loop.corners)) > Math.abs(signedArea(rest.corners)) ? loop : rest;
  return withoutRepeats(larger);
}

/** Return the ring without corners that stand on the one before. */
export function withoutRepeats<O extends On>(ring: Ring<O>, nearer = 1e-9): Ring<O> {
  const stays = ring.corners.map((here, index) => {
    const next = ring.corners[(index + 1) % ring.corners.length] as Place<O>;
    return Math.hypot(here[0] - next[0], here[1] - next[1]) > nearer;
  });
  return { corners: ring.corners.filter((_, index) => stays[index]), edges: ring.edges.filter((_, index) => stays[index]) };
}

function meeting<O extends On>(a: Place<O>, b: Place<O>, c: Place<O>, d: Place<O>): Place<O> | undefined {
  const [abx, aby, cdx, cdy] = [b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]];
  const cross = abx * cdy - aby * cdx;
  if (Math.abs(cross) < 1e-15) return undefined; // along one line: an edge that runs back on itself has no area to lose
  const along = ((c[0] - a[0]) * cdy - (c[1] - a[1]) * cdx) / cross;
  const other = ((c[0] - a[0]) * aby - (c[1] - a[1]) * abx) / cross;
  if (along < 0 || along > 1 || other < 0 || other > 1) return undefined;
  return place(a[0] + along * abx, a[1] + along * aby);
}

/** Tell whether a place lies inside; of one on the edge either may be said. */
export function holds<O extends On>(corners: readonly Place<O>[], at: Place<O>): boolean {
  let inside = false;
  corners.forEach((here, index) => {
    const next = corners[(index + 1) % corners.length] as Place<O>;
    if (here[1] > at[1] === next[1] > at[1]) return;
    if (at[0] < here[0] + ((at[1] - here[1]) / (next[1] - here[1])) * (next[0] - here[0])) inside = !inside;
  });
  return inside;
}
