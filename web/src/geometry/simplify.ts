/** A stroke of the hand thinned to the corners that matter. */

import { apart, nearestOn, type On, type Place } from './places.ts';

/**
 * Return the corners of a line from which no place that was left out lies farther than `tolerance`; both ends stay.
 *
 * D. H. Douglas and T. K. Peucker, Algorithms for the reduction of the number of points required to represent a digitized line or its
 * caricature, Cartographica 10 (2), 1973, 112–122; here with a stack, so that a long stroke cannot exhaust the calls.
 */
export function simplified<O extends On>(line: readonly Place<O>[], tolerance: number): Place<O>[] {
  if (line.length < 3) return [...line];
  const kept = new Uint8Array(line.length);
  kept[0] = kept[line.length - 1] = 1;
  const open: [number, number][] = [[0, line.length - 1]];
  for (let run = open.pop(); run; run = open.pop()) {
    const [first, last] = run;
    const { at, away } = farthest(line, first, last);
    if (away <= tolerance) continue;
    kept[at] = 1;
    open.push([first, at], [at, last]);
  }
  return line.filter((_, index) => kept[index] === 1);
}

/** Return a closed line thinned: it is cut in two at its first place and the one farthest from it. */
export function simplifiedRing<O extends On>(ring: readonly Place<O>[], tolerance: number): Place<O>[] {
  const start = ring[0];
  if (!start || ring.length < 4) return [...ring];
  let cut = 0;
  for (let index = 1; index < ring.length; index += 1) {
    if (apart(ring[index] as Place<O>, start) > apart(ring[cut] as Place<O>, start)) cut = index;
  }
  const there = simplified(ring.slice(0, cut + 1), tolerance);
  const back = simplified([...ring.slice(cut), start], tolerance);
  return [...there, ...back.slice(1, -1)];
}

function farthest<O extends On>(line: readonly Place<O>[], first: number, last: number): { at: number; away: number } {
  const [start, end] = [line[first] as Place<O>, line[last] as Place<O>];
  let found = { at: first, away: -1 };
  for (let index = first + 1; index < last; index += 1) {
    const here = line[index] as Place<O>;
    const away = apart(here, nearestOn(here, start, end).at);
    if (away > found.away) found = { at: index, away };
  }
  return found;
}
