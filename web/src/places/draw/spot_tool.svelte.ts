/** A level, a find or a sample placed by a press on the plan. */

import type { Place } from '../../geometry/places.ts';
import type { Snapped } from '../../geometry/snap.ts';
import { create, nextNumber, write } from '../../offline/index.ts';
import { recorded } from './keep.ts';
import type { Mark, Tool } from './tool.ts';

export type SpotKind = 'level' | 'find' | 'sample';

export interface SpotValues {
  readonly context: string;
  readonly surface: string;
  readonly level: number | undefined;
  readonly sight: string;
  readonly entered: string;
}

export class SpotTool implements Tool {
  readonly strokes = false;
  readonly free = true;
  what = $state<SpotKind>('level');
  at = $state.raw<Place>();
  /** A find or sample on record that is given its place; empty for a new one. */
  placing = $state('');

  get marks(): readonly Mark[] {
    return this.at ? [{ spot: this.at, look: 'point' }] : [];
  }

  press(at: Snapped): void {
    this.at = at.at;
  }

  drawn(): void {
    // a point tool draws no line: the sheet is moved instead
  }

  takeBack(): boolean {
    const held = this.at !== undefined;
    this.at = undefined;
    return held;
  }

  /** Have it on the device's disk; returns what it is called. */
  async keep({ context, surface, level, sight, entered }: SpotValues): Promise<string> {
    const at = this.at;
    if (!at) return '';
    const where = { easting: at[0], northing: at[1], ...(level === undefined ? {} : { level }) };
    const more = entered ? { entered } : {};
    let called = '';
    if (this.placing) {
      for (const [field, value] of Object.entries(where)) await write(this.placing, field, value, more);
    } else if (this.what === 'level') {
      await create('level', { context, surface, ...where, ...(sight ? { sight } : {}), ...recorded() }, more);
    } else {
      called = await nextNumber(this.what);
      const registered = this.what === 'find' ? { registered: true } : {};
      await create(this.what, { number: called, context, ...where, ...registered, ...recorded() }, more);
    }
    this.at = undefined;
    this.placing = '';
    return called;
  }
}
