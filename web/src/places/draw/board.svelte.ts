/** One sheet being drawn on: what is in sight, where the cross-hair stands, how near things snap, and what is said of it all. */

import { apart, extentOf, place, rounded, type Extent, type Place, type SheetKind } from '../../geometry/places.ts';
import { bringIn, fitted, panned, resized, zoomed, type SheetView } from '../../geometry/sheet_view.ts';
import { snapped, type Snapped } from '../../geometry/snap.ts';
import { wider } from '../../geometry/ticks.ts';
import type { Things } from './things.ts';

/** Pixels of the screen within which a place snaps: about half a fingertip. */
const REACH = 16;
/** Lengths beyond which nothing snaps, however far out the view is. */
const FARTHEST = 0.15;
/** Steps of the arrow keys in lengths; on a photo in pixels. */
const STEPS = { plan: [0.01, 0.1], wall: [0.01, 0.1], photo: [1, 10] } as const;

/** How far a stroke may lie from what is kept of it, in lengths. */
export const TOLERANCES = [0.005, 0.01, 0.02, 0.05] as const;

/** Whether a pen was seen since the page was opened: a finger then moves the sheet alone. */
export const pen = $state({ seen: false, only: true });

export class Board {
  readonly kind: SheetKind;
  readonly #things: () => Things;
  readonly #size: Extent | undefined;
  view = $state.raw<SheetView>();
  /** Where the cross-hair stands; undefined until keys are used. */
  cursor = $state.raw<Place>();
  snaps = $state(true);
  tolerance = $state<number>(0.01);
  /** Whether only the chosen context is shown; things still snap to the others. */
  alone = $state(false);
  /** Level of the string that heights on a wall may be measured from; undefined where there is none. */
  string = $state<number>();
  /** What was just done, for those who hear the page. */
  said = $state('');
  #kept = $state('');

  /** `size` is what a sheet without anything on it shows; of a photo its own size. */
  constructor(kind: SheetKind, things: () => Things, size?: Extent) {
    this.kind = kind;
    this.#things = things;
    this.#size = size;
  }

  /** Whether the last that was done was to keep what is in hand. */
  get justKept(): boolean {
    return this.#kept !== '' && this.#kept === this.said;
  }

  tellKept(words: string): void {
    this.said = words;
    this.#kept = words;
  }

  /** The whole of the sheet with a margin. */
  get whole(): Extent {
    return wider(this.#size ?? this.#drawnOn() ?? { left: 0, low: 0, right: 2, high: 2 }, this.kind === 'photo' ? 0 : 0.06);
  }

  /** Lengths within which a place snaps at the size in which the sheet is shown. */
  get reach(): number {
    if (!this.view) return FARTHEST;
    const reach = REACH / this.view.scale;
    return this.kind === 'photo' ? reach : Math.min(FARTHEST, reach);
  }

  frame(width: number, height: number): void {
    if (width === 0 || height === 0) return;
    this.view = this.view && this.view.width > 0 ? resized(this.view, width, height) : fitted(this.whole, width, height);
  }

  fit(): void {
    if (this.view) this.view = fitted(this.whole, this.view.width, this.view.height);
  }

  pan(across: number, down: number): void {
    if (this.view) this.view = panned(this.view, this.whole, across, down);
  }

  zoom(factor: number, about?: Place<'screen'>): void {
    if (this.view) this.view = zoomed(this.view, this.whole, factor, about);
  }

  /** Return a place as it will be kept: snapped when that is on and it is not free, else to the millimetre. By keys it snaps one step far. */
  snap(at: Place, free = false, keyed = false): Snapped {
    const decimals = this.kind === 'photo' ? 1 : 3;
    if (free || !this.snaps || this.kind === 'photo') return { at: rounded(at, decimals), to: 'nothing' };
    const { limit, shapes } = this.#things();
    const found = snapped(at, keyed ? Math.min(this.reach, STEPS[this.kind][0]) : this.reach, limit, shapes.map((shape) => shape.corners));
    return { ...found, at: rounded(found.at, decimals) };
  }

  /** Move the cross-hair by a small or a large step. */
  step(across: number, up: number, large: boolean): void {
    const by = STEPS[this.kind][large ? 1 : 0];
    const from = this.cursor ?? this.#start();
    const to = rounded(place(from[0] + across * by, from[1] + up * by));
    this.setCursor(this.cursor ? to : rounded(from, 2));
  }

  setCursor(at: Place): void {
    this.cursor = at;
    if (this.view) this.view = bringIn(this.view, at);
  }

  /** Where the cross-hair begins: in the middle of what is in sight, at a whole centimetre. */
  #start(): Place {
    return this.view?.middle ?? place((this.whole.left + this.whole.right) / 2, (this.whole.low + this.whole.high) / 2);
  }

  #drawnOn(): Extent | undefined {
    const { limit, shapes, lines } = this.#things();
    const sheet = limit.corners.length > 1 ? limit.corners : shapes.flatMap((shape) => shape.corners);
    const found = extentOf([...sheet, ...lines.flatMap((one) => one.line)]);
    return found && apart(place(found.left, found.low), place(found.right, found.high)) > 0 ? found : undefined;
  }
}
