/** Points marked on a photo, with their places on the ground: what the photo is rectified by. */

import { apart, place, type Place } from '../../geometry/places.ts';
import type { Snapped } from '../../geometry/snap.ts';
import { createMany, pointing, write, type Held } from '../../offline/index.ts';
import type { Board } from './board.svelte.ts';
import { recorded } from './keep.ts';
import type { Mark, Tool } from './tool.ts';

/** One marked point as it is kept: the pixel, and where it is on the site grid or on a wall. */
export interface Marked {
  readonly id: string;
  readonly point: string;
  readonly column: number;
  readonly row: number;
  readonly across: number;
  readonly up: number;
}

export class MarkTool implements Tool {
  readonly strokes = false;
  readonly free = true;
  readonly #board: Board;
  readonly #photo: string;
  /** The wall whose face the photo shows; empty for a floor seen from above. */
  wall = $state('');
  /** The pixel being marked. */
  at = $state.raw<Place>();
  /** Point on record that is chosen, to be moved or made void. */
  chosen = $state('');

  constructor(board: Board, photo: string) {
    this.#board = board;
    this.#photo = photo;
  }

  get points(): readonly Marked[] {
    return pointing('photo_point', 'photo', this.#photo).flatMap((one) => markedOf(one, this.wall));
  }

  get marks(): readonly Mark[] {
    const kept = this.points.map((one): Mark => ({ spot: place(one.column, -one.row), look: one.id === this.chosen ? 'chosen' : 'corner', label: one.point }));
    return this.at ? [...kept, { spot: this.at, look: 'point' }] : kept;
  }

  press(at: Snapped): void {
    const near = this.points.find((one) => apart(place(one.column, -one.row), at.at) < this.#board.reach);
    this.chosen = near?.id ?? '';
    this.at = near ? undefined : at.at;
  }

  drawn(): void {
    // a point tool draws no line: the sheet is moved instead
  }

  takeBack(): boolean {
    const held = this.at !== undefined || this.chosen !== '';
    this.at = undefined;
    this.chosen = '';
    return held;
  }

  /** A chosen point is dragged to the pixel it belongs on; the place is kept when it is let go by `settle`. */
  grab(at: Place): ((to: Snapped) => void) | undefined {
    const near = this.at && apart(this.at, at) < this.#board.reach;
    return near ? (to) => (this.at = to.at) : undefined;
  }

  async keep(point: string, across: number, up: number): Promise<void> {
    const at = this.at;
    if (!at) return;
    const where = this.wall ? { wall: this.wall, distance: across, level: up } : { easting: across, northing: up };
    await createMany([{ kind: 'photo_point', values: { photo: this.#photo, point, column: at[0], row: -at[1], ...where, ...recorded() } }]);
    this.at = undefined;
  }

  async drop(id: string, why: string): Promise<void> {
    await write(id, 'void', why);
    this.chosen = '';
  }
}

/** Return a kept point as far as it belongs to the plan (no wall) or to that wall. */
export function markedOf(one: Held, wall: string): Marked[] {
  const { point, column, row, easting, northing, distance, level } = one.values;
  const [across, up] = wall ? [distance, level] : [easting, northing];
  if (String(one.values['wall'] ?? '') !== wall) return [];
  if (typeof column !== 'number' || typeof row !== 'number' || typeof across !== 'number' || typeof up !== 'number') return [];
  return [{ id: one.id, point: String(point ?? ''), column, row, across, up }];
}

/** Return the points as the table that `baulk rectify` reads. */
export function pointsTable(points: readonly Marked[]): string {
  const quoted = (text: string): string => (/[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  const rows = points.map((one, index) => [quoted(one.point || String(index + 1)), one.column, one.row, one.across, one.up].join(','));
  return ['point,column,row,easting,northing', ...rows, ''].join('\r\n');
}
