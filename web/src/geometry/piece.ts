/** A brick, sett or stone from one stroke: along its long axis, or round its face. */

import { apart, between, bearingOf, place, rounded, type Place } from './places.ts';
import { signedArea } from './ring.ts';
import { simplifiedRing } from './simplify.ts';

type OnPlan = Place<'plan'>;

/** Share of the longer side from which a piece counts as broad as long: the same as in the sums of laid pieces (house value). */
const TOO_SQUARE = 0.95;

/** The visible face of one piece; sides in the site's own lengths. */
export interface PieceShape {
  readonly ring: readonly OnPlan[];
  readonly axis: readonly [OnPlan, OnPlan];
  /** Of the long axis, 0 up to 180 degrees; undefined where the piece is as broad as long. */
  readonly bearing: number | undefined;
  readonly longer: number;
  readonly shorter: number;
}

/** Return the piece whose long axis runs between two places, so and so broad; undefined when the axis has no length. */
export function pieceAlong(start: OnPlan, end: OnPlan, breadth: number): PieceShape | undefined {
  const length = apart(start, end);
  if (length === 0 || breadth <= 0) return undefined;
  const [across, up] = [((end[1] - start[1]) / length) * (breadth / 2), (-(end[0] - start[0]) / length) * (breadth / 2)];
  const ring = [shifted(start, across, up), shifted(end, across, up), shifted(end, -across, -up), shifted(start, -across, -up)];
  return shape(ring, start, end, length, breadth);
}

/** Return the piece inside a round stroke: its outline, and the axis of the smallest box that holds it. */
export function pieceRound(stroke: readonly OnPlan[], tolerance: number): PieceShape | undefined {
  const ring = simplifiedRing(stroke, tolerance);
  if (ring.length < 3 || Math.abs(signedArea(ring)) === 0) return undefined;
  const box = smallestBox(hullOf(ring));
  if (!box) return undefined;
  return shape(ring, box.axis[0], box.axis[1], box.longer, box.shorter);
}

/** Tell whether a stroke runs round something: it ends near where it began, far from how long it is. */
export function runsRound(stroke: readonly OnPlan[]): boolean {
  const [first, last] = [stroke[0], stroke[stroke.length - 1]];
  if (!first || !last || stroke.length < 6) return false;
  const length = stroke.slice(1).reduce((sum, here, index) => sum + apart(here, stroke[index] as OnPlan), 0);
  return apart(first, last) < 0.25 * length;
}

function shape(ring: readonly OnPlan[], start: OnPlan, end: OnPlan, longer: number, shorter: number): PieceShape {
  const held = ring.map((one) => rounded(one));
  const sound = signedArea(held) < 0 ? [...held].reverse() : held;
  return { ring: sound, axis: [rounded(start), rounded(end)], bearing: shorter > TOO_SQUARE * longer ? undefined : axisBearing(start, end), longer, shorter };
}

function axisBearing(start: OnPlan, end: OnPlan): number {
  return (Math.round(bearingOf(start, end) * 10) / 10) % 180;
}

const shifted = (one: OnPlan, across: number, up: number): OnPlan => place(one[0] + across, one[1] + up);

/** Return the corners of the hull, anticlockwise (A. M. Andrew, Information Processing Letters 9 (5), 1979, 216–219). */
export function hullOf(places: readonly OnPlan[]): OnPlan[] {
  const sorted = [...places].sort((one, other) => one[0] - other[0] || one[1] - other[1]);
  const half = (list: readonly OnPlan[]): OnPlan[] => {
    const held: OnPlan[] = [];
    for (const here of list) {
      while (held.length > 1 && turn(held[held.length - 2] as OnPlan, held[held.length - 1] as OnPlan, here) <= 0) held.pop();
      held.push(here);
    }
    return held.slice(0, -1);
  };
  return [...half(sorted), ...half(sorted.reverse())];
}

/** Return the box of least area round a hull: one of its sides lies along a side of the hull. */
function smallestBox(hull: readonly OnPlan[]): { axis: [OnPlan, OnPlan]; longer: number; shorter: number } | undefined {
  let found: { axis: [OnPlan, OnPlan]; longer: number; shorter: number } | undefined;
  hull.forEach((here, index) => {
    const next = hull[(index + 1) % hull.length] as OnPlan;
    const length = apart(here, next);
    if (length === 0) return;
    const box = boxAlong(hull, (next[0] - here[0]) / length, (next[1] - here[1]) / length);
    if (!found || box.longer * box.shorter < found.longer * found.shorter) found = box;
  });
  return found;
}

function boxAlong(hull: readonly OnPlan[], east: number, north: number): { axis: [OnPlan, OnPlan]; longer: number; shorter: number } {
  const along = hull.map((one) => one[0] * east + one[1] * north);
  const off = hull.map((one) => one[1] * east - one[0] * north);
  const [a, b, c, d] = [Math.min(...along), Math.max(...along), Math.min(...off), Math.max(...off)];
  const back = (s: number, t: number): OnPlan => place(s * east - t * north, s * north + t * east);
  const [sides, ends] = [
    [between(back(a, c), back(a, d), 0.5), between(back(b, c), back(b, d), 0.5)] as [OnPlan, OnPlan],
    [between(back(a, c), back(b, c), 0.5), between(back(a, d), back(b, d), 0.5)] as [OnPlan, OnPlan],
  ];
  return b - a >= d - c ? { axis: sides, longer: b - a, shorter: d - c } : { axis: ends, longer: d - c, shorter: b - a };
}

function turn(a: OnPlan, b: OnPlan, c: OnPlan): number {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}
