/** Lines on a wall: the ground above, the limit below, and contacts between two contexts. */

import { rounded, type Place } from '../../geometry/places.ts';
import { simplified } from '../../geometry/simplify.ts';
import type { Snapped } from '../../geometry/snap.ts';
import { create, write } from '../../offline/index.ts';
import type { Board } from './board.svelte.ts';
import { recorded } from './keep.ts';
import type { Mark, Tool } from './tool.ts';

export type WallLine = 'surface_line' | 'base_line' | 'contact';

export class WallTool implements Tool {
  readonly strokes = true;
  readonly #board: Board;
  readonly #wall: string;
  what = $state<WallLine>('surface_line');
  later = $state('');
  earlier = $state('');
  how = $state('overlies');
  certainty = $state('firm');
  line = $state.raw<readonly Place[]>([]);
  #steps = $state.raw<readonly (readonly Place[])[]>([]);

  constructor(board: Board, wall: string) {
    this.#board = board;
    this.#wall = wall;
  }

  get marks(): readonly Mark[] {
    return [{ line: this.line, look: 'pen', broad: true }, ...this.line.map((spot): Mark => ({ spot, look: 'corner' }))];
  }

  press(at: Snapped): void {
    this.#steps = [...this.#steps, this.line];
    this.line = [...this.line, at.at];
  }

  drawn(line: readonly Place[]): void {
    this.#steps = [...this.#steps, this.line];
    const thin = simplified(line, this.#board.tolerance).map((one) => this.#board.snap(one).at);
    this.line = [...this.line, ...thin];
  }

  takeBack(): boolean {
    const before = this.#steps[this.#steps.length - 1];
    if (!before) return false;
    this.#steps = this.#steps.slice(0, -1);
    this.line = before;
    return true;
  }

  clear(): void {
    this.line = [];
    this.#steps = [];
  }

  /** Whether what is drawn and said is enough to be kept. */
  get ready(): boolean {
    return this.what === 'contact' ? this.later !== '' && this.earlier !== '' && this.later !== this.earlier : this.line.length > 1;
  }

  async keep(): Promise<void> {
    const line = this.line.map((one) => [...rounded(one)]);
    if (this.what === 'contact') {
      const { later, earlier, how, certainty } = this;
      await create('contact', { wall: this.#wall, later, earlier, how, certainty, ...(line.length > 1 ? { line } : {}), ...recorded() });
    } else {
      await write(this.#wall, this.what, line.sort((one, other) => (one[0] ?? 0) - (other[0] ?? 0)));
    }
    this.clear();
  }
}
