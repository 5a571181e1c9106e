/** Moving the sheet and choosing what is drawn on it. */

import { apart, nearestOn, type Place } from '../../geometry/places.ts';
import { holds, signedArea } from '../../geometry/ring.ts';
import type { Snapped } from '../../geometry/snap.ts';
import { choose } from '../../parts/route.svelte.ts';
import type { Board } from './board.svelte.ts';
import type { Things } from './things.ts';
import type { Mark, Tool } from './tool.ts';

export class LookTool implements Tool {
  readonly strokes = false;
  readonly free = true;
  readonly marks: readonly Mark[] = [];
  readonly #board: Board;
  readonly #things: () => Things;

  constructor(board: Board, things: () => Things) {
    this.#board = board;
    this.#things = things;
  }

  /** Choose what is pressed: a sign first, then a piece, then the smallest context there. */
  press({ at }: Snapped): void {
    const { spots, pieces, shapes } = this.#things();
    const near = (spot: Place): boolean => apart(spot, at) < this.#board.reach;
    const spot = spots.find((one) => one.id && near(one.at));
    const piece = pieces.find((one) => one.ring.length > 2 && holds(one.ring, at));
    const size = (corners: readonly Place[]): number => Math.abs(signedArea(corners));
    const found = shapes.filter((one) => holds(one.corners, at) || onEdge(one.corners, at, this.#board.reach / 2));
    const shape = found.sort((one, other) => size(one.corners) - size(other.corners))[0];
    const id = spot?.id ?? piece?.id ?? shape?.context?.id ?? shape?.id;
    if (id) choose(id);
  }

  drawn(): void {
    // nothing is drawn: the sheet is moved
  }

  takeBack(): boolean {
    return false;
  }
}

function onEdge(corners: readonly Place[], at: Place, reach: number): boolean {
  return corners.some((here, index) => apart(nearestOn(at, here, corners[(index + 1) % corners.length] as Place).at, at) < reach);
}
