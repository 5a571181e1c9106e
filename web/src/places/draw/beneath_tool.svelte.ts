/** A photo beneath the drawing, put straight by its marked points, and outlines of pieces proposed on it. */

import * as photos from '../../api/photos.ts';
import type { FitView, ProposedView } from '../../api/schema.ts';
import { place, placesOf, type Place } from '../../geometry/places.ts';
import type { Snapped } from '../../geometry/snap.ts';
import { createMany } from '../../offline/index.ts';
import { recorded } from './keep.ts';
import type { Marked } from './mark_tool.svelte.ts';
import type { Beneath } from './paint.ts';
import type { Mark, Tool } from './tool.ts';

interface Laid {
  readonly photo: string;
  readonly points: readonly Marked[];
  readonly fit: FitView;
  readonly picture: ImageBitmap;
}

const PROPOSAL = 'Status: proposed, to be confirmed.';

export class BeneathTool implements Tool {
  readonly strokes = false;
  readonly free = true;
  opacity = $state(0.85);
  structure = $state('');
  stones = $state(false);
  laid = $state.raw<Laid>();
  /** Middles of pieces to ask outlines for. */
  picks = $state.raw<readonly Place[]>([]);
  proposed = $state.raw<readonly ProposedView[]>([]);
  refused = $state.raw<readonly { number: string; why: string }[]>([]);

  get beneath(): readonly Beneath[] {
    if (!this.laid) return [];
    const [left = 0, low = 0, right = 0, high = 0] = this.laid.fit.extent;
    return [{ picture: this.laid.picture, extent: { left, low, right, high }, opacity: this.opacity }];
  }

  get marks(): readonly Mark[] {
    const outlines = this.proposed.map((one): Mark => ({ line: placesOf(one.values['ring']), look: 'chosen', closed: true }));
    const names = this.proposed.map((one): Mark => ({ words: one.number, at: placesOf(one.values['ring'])[0] ?? place(0, 0) }));
    return [...outlines, ...names, ...this.picks.map((spot): Mark => ({ spot, look: 'corner' }))];
  }

  press({ at }: Snapped): void {
    if (this.laid) this.picks = [...this.picks, at];
  }

  drawn(): void {
    // presses pick pieces; nothing is drawn
  }

  takeBack(): boolean {
    const held = this.picks.length > 0;
    this.picks = this.picks.slice(0, -1);
    return held;
  }

  /** Lay a photo beneath; an empty id takes it away. */
  async lay(photo: string, points: readonly Marked[]): Promise<void> {
    this.laid = undefined;
    this.picks = this.proposed = this.refused = [];
    if (!photo) return;
    const [fit, picture] = await Promise.all([photos.photoFit(photo, points), photos.straightPhoto(photo, points)]);
    this.laid = { photo, points, fit, picture: await createImageBitmap(picture) };
  }

  /** Ask for outlines of what was picked; `numberFor` gives each pick its number. */
  async ask(numberFor: (pick: number) => string): Promise<void> {
    if (!this.laid) return;
    const picks = this.picks.map(([across, up], index) => ({ number: numberFor(index), across, up }));
    const found = await photos.proposedPieces(this.laid.photo, this.laid.points, { structure: this.structure, picks, stones: this.stones });
    this.proposed = found.proposed;
    this.refused = found.refused;
    this.picks = [];
  }

  /** Take one outline into the record: a person has looked at it. */
  async accept(one: ProposedView): Promise<void> {
    const notes = String(one.values['notes'] ?? '').replace(PROPOSAL, '').trim();
    const absent = Object.fromEntries(Object.entries(one.absences).map(([field, words]) => [field, { absent: words }]));
    const values = { ...one.values, ...absent, context: this.structure, notes, ...recorded() };
    await createMany([{ kind: 'element', values }]);
    this.refuse(one);
  }

  refuse(one: ProposedView): void {
    this.proposed = this.proposed.filter((other) => other !== one);
  }
}
