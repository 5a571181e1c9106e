/** Free strokes and words over a plan, a wall or a photo; what lies beneath is never altered. */

import { rounded, type Place } from '../../geometry/places.ts';
import { simplified } from '../../geometry/simplify.ts';
import type { Snapped } from '../../geometry/snap.ts';
import type { Board } from './board.svelte.ts';
import type { SketchMark } from './sketch_file.ts';
import type { Mark, Tool } from './tool.ts';

/** Inks of a sketch; each can be told from the others without colour by its name beside it. */
export const INKS = { black: '#1f1c18', blue: '#1242a3', red: '#b3400e', green: '#0d4a3d' } as const;
export type Ink = keyof typeof INKS;

export class SketchTool implements Tool {
  readonly free = true;
  readonly #board: Board;
  ink = $state<Ink>('blue');
  /** Words that the next press writes; empty to draw. */
  words = $state('');
  writes = $state(false);
  done = $state.raw<readonly SketchMark[]>([]);
  /** Sketches kept before that are laid over the sheet, by their ids. */
  #shown = $state.raw<ReadonlyMap<string, readonly SketchMark[]>>(new Map());

  constructor(board: Board) {
    this.#board = board;
  }

  get strokes(): boolean {
    return !this.writes;
  }

  get marks(): readonly Mark[] {
    return [...[...this.#shown.values()].flat(), ...this.done].map((one) =>
      'line' in one ? { line: one.line, look: 'pen', colour: INKS[one.ink] } : { words: one.words, at: one.at, colour: INKS[one.ink] },
    );
  }

  /** What is drawn and not on record yet; undefined when nothing is. */
  get draft(): readonly SketchMark[] | undefined {
    return this.done.length > 0 ? this.done : undefined;
  }

  /** Take up again what was drawn. */
  restore(draft: unknown): void {
    if (Array.isArray(draft)) this.done = draft as SketchMark[];
  }

  show(id: string, marks: readonly SketchMark[]): void {
    this.#shown = new Map([...this.#shown, [id, marks]]);
  }

  hide(id: string): void {
    this.#shown = new Map([...this.#shown].filter(([one]) => one !== id));
  }

  press(at: Snapped): void {
    const words = this.words.trim();
    if (this.writes && words) this.done = [...this.done, { words, at: at.at, ink: this.ink }];
    else if (!this.writes) this.done = [...this.done, { line: [at.at, at.at], ink: this.ink }];
  }

  drawn(line: readonly Place[]): void {
    const scale = this.#board.view?.scale ?? 1;
    const thin = simplified(line, 0.7 / scale).map((one) => rounded(one, this.#board.kind === 'photo' ? 1 : 4));
    this.done = [...this.done, { line: thin, ink: this.ink }];
  }

  takeBack(): boolean {
    const held = this.done.length > 0;
    this.done = this.done.slice(0, -1);
    return held;
  }
}
