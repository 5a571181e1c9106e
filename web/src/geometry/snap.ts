/** What a drawn place snaps to: corners and sides of the limit of excavation first, then the outlines beside it. */

import { apart, nearestOn, type On, type Place } from './places.ts';

/** The limit of excavation: a unit's sides as a closed line, or a wall's left end, base and right end as an open one. */
export interface Limit<O extends On = 'plan' | 'wall' | 'photo'> {
  readonly corners: readonly Place<O>[];
  readonly closed: boolean;
}

export type SnappedTo = 'corner' | 'side' | 'neighbour corner' | 'neighbour' | 'nothing';

export interface Snapped<O extends On = 'plan' | 'wall' | 'photo'> {
  readonly at: Place<O>;
  readonly to: SnappedTo;
  /** Where on the limit it lies: 2.5 is half way from its third corner to the next; undefined off the limit. */
  readonly along?: number;
}

/** How many sides a limit has. */
export function sidesOf<O extends On>(limit: Limit<O>): number {
  return Math.max(0, limit.closed ? limit.corners.length : limit.corners.length - 1);
}

/** Return a place snapped to what lies within `reach`, or as it was. */
export function snapped<O extends On>(at: Place<O>, reach: number, limit: Limit<O>, neighbours: readonly (readonly Place<O>[])[]): Snapped<O> {
  const corner = nearest(limit.corners, at, reach);
  if (corner) return { at: corner.at, to: 'corner', along: corner.index };
  const side = nearestSide(limit.corners, limit.closed, at, reach);
  if (side) return { at: side.at, to: 'side', along: side.along };
  let found: Snapped<O> = { at, to: 'nothing' };
  let away = reach;
  for (const ring of neighbours) {
    const beside = nearest(ring, at, found.to === 'neighbour corner' ? away : reach);
    if (beside) [found, away] = [{ at: beside.at, to: 'neighbour corner' }, apart(beside.at, at)];
    if (found.to === 'neighbour corner') continue;
    const edge = nearestSide(ring, true, at, away);
    if (edge) [found, away] = [{ at: edge.at, to: 'neighbour' }, apart(edge.at, at)];
  }
  return found;
}

/** Tell whether two places on the limit lie on one side of it. */
export function onOneSide(one: number | undefined, other: number | undefined, limit: Limit<On>): boolean {
  if (one === undefined || other === undefined) return false;
  const sides = touched(other, limit);
  return touched(one, limit).some((side) => sides.includes(side));
}

/** Return the limit's corners passed on the way between two places on it, the shorter way round or, if asked, the longer. */
export function alongLimit<O extends On>(from: Snapped<O>, to: Snapped<O>, limit: Limit<O>, longer = false): Place<O>[] {
  if (from.along === undefined || to.along === undefined) return [];
  const onward = passed(from.along, to.along, limit);
  if (!limit.closed) return from.along <= to.along ? onward : passed(to.along, from.along, limit).reverse();
  const back = passed(to.along, from.along, limit).reverse();
  const onwardLength = lengthOf([from.at, ...onward, to.at]);
  const backLength = lengthOf([from.at, ...back, to.at]);
  return onwardLength <= backLength !== longer ? onward : back;
}

export function lengthOf<O extends On>(line: readonly Place<O>[]): number {
  return line.slice(1).reduce((sum, here, index) => sum + apart(here, line[index] as Place<O>), 0);
}

function passed<O extends On>(from: number, to: number, limit: Limit<O>): Place<O>[] {
  const count = limit.corners.length;
  const end = to < from ? to + count : to;
  const found: Place<O>[] = [];
  for (let index = Math.floor(from) + 1; index < end - 1e-9; index += 1) found.push(limit.corners[index % count] as Place<O>);
  return found;
}

function touched(along: number, limit: Limit<On>): number[] {
  const sides = sidesOf(limit);
  if (!Number.isInteger(along)) return [Math.floor(along)];
  const [before, after] = [along - 1, along];
  return limit.closed ? [(before + sides) % sides, after % sides] : [before, after].filter((side) => side >= 0 && side < sides);
}

function nearest<O extends On>(corners: readonly Place<O>[], at: Place<O>, reach: number): { at: Place<O>; index: number } | undefined {
  let found: { at: Place<O>; index: number } | undefined;
  let away = reach;
  corners.forEach((corner, index) => {
    const here = apart(corner, at);
    if (here <= away) [found, away] = [{ at: corner, index }, here];
  });
  return found;
}

function nearestSide<O extends On>(
  corners: readonly Place<O>[],
  closed: boolean,
  at: Place<O>,
  reach: number,
): { at: Place<O>; along: number } | undefined {
  let found: { at: Place<O>; along: number } | undefined;
  let away = reach;
  for (let side = 0; side < sidesOf({ corners, closed }); side += 1) {
    const { at: foot, share } = nearestOn(at, corners[side] as Place<O>, corners[(side + 1) % corners.length] as Place<O>);
    const here = apart(foot, at);
    if (here <= away) [found, away] = [{ at: foot, along: (side + share) % corners.length }, here];
  }
  return found;
}
