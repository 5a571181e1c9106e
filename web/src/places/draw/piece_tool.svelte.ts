/** Bricks, setts and stones of a structure, each in one stroke; what is said of one stays set for the next. */

import { pieceAlong, pieceRound, runsRound, type PieceShape } from '../../geometry/piece.ts';
import { apart, type Place } from '../../geometry/places.ts';
import type { Snapped } from '../../geometry/snap.ts';
import { all, createMany, numbered, pointing } from '../../offline/index.ts';
import { siteQuantity } from '../../parts/form/site_quantity.ts';
import type { Board } from './board.svelte.ts';
import { numberAfter, recorded } from './keep.ts';
import type { Mark, Tool } from './tool.ts';

type OnPlan = Place<'plan'>;

/** What is said of every piece until it is said otherwise. */
export interface PieceWords {
  attitude: string;
  mortar: string;
  material: string;
  firing: string;
  whole: boolean | undefined;
}

/** Which sides of a piece its visible face shows, as in the proposals of `baulk propose`. */
const FACES: Readonly<Record<string, readonly [string, string]>> = {
  flat: ['length', 'width'],
  'on edge': ['length', 'height'],
  'on end': ['width', 'height'],
};

export class PieceTool implements Tool {
  readonly strokes = true;
  readonly free = true;
  readonly #board: Board;
  readonly #done: (words: { number: string; shape: PieceShape }) => void;
  readonly #fault: (cause: unknown) => void;
  structure = $state('');
  /** Breadth of the visible face in millimetres, for pieces drawn along their axis. */
  breadth = $state(90);
  words: PieceWords = $state({ attitude: '', mortar: '', material: '', firing: '', whole: undefined });
  #asked = $state('');
  #from = $state.raw<OnPlan>();

  constructor(board: Board, done: (words: { number: string; shape: PieceShape }) => void, fault: (cause: unknown) => void) {
    this.#board = board;
    this.#done = done;
    this.#fault = fault;
  }

  /** The number of the next piece: as typed, or counted on from the last one of the structure; never one that is taken. */
  get number(): string {
    const held = pointing('element', 'context', this.structure).map((one) => String(one.values['number'] ?? ''));
    const last = held.sort((one, other) => one.localeCompare(other, undefined, { numeric: true })).at(-1);
    let next = this.#asked || (last ? numberAfter(last) : 'E01');
    for (let turn = 0; numbered('element', next) && turn < all('element').length + 1; turn += 1) next = numberAfter(next);
    return next;
  }

  set number(asked: string) {
    this.#asked = asked.trim();
  }

  get marks(): readonly Mark[] {
    return this.#from ? [{ spot: this.#from, look: 'chosen' }] : [];
  }

  /** Two presses set both ends of the axis: the way by keys. */
  press(at: Snapped): void {
    const here = at.at as unknown as OnPlan;
    const from = this.#from;
    this.#from = from ? undefined : here;
    if (from && apart(from, here) > 0) this.#keep(pieceAlong(from, here, this.#breadthOwn()));
  }

  drawn(line: readonly Place[]): void {
    const stroke = line as unknown as readonly OnPlan[];
    const [first, last] = [stroke[0], stroke[stroke.length - 1]];
    if (!first || !last) return;
    this.#from = undefined;
    this.#keep(runsRound(stroke) ? pieceRound(stroke, Math.min(this.#board.tolerance, 0.005 / siteQuantity().metres)) : pieceAlong(first, last, this.#breadthOwn()));
  }

  takeBack(): boolean {
    const held = this.#from !== undefined;
    this.#from = undefined;
    return held;
  }

  #breadthOwn(): number {
    return this.breadth / 1000 / siteQuantity().metres;
  }

  #keep(shape: PieceShape | undefined): void {
    if (!shape || !this.structure) return;
    const number = this.number;
    this.#asked = numberAfter(number); // the next stroke may come before this one is on the disk
    createMany([{ kind: 'element', values: this.#values(number, shape) }])
      .then(() => this.#done({ number, shape }))
      .catch(this.#fault);
  }

  #values(number: string, shape: PieceShape): Record<string, unknown> {
    const millimetres = (own: number): number => Math.round(own * siteQuantity().metres * 1000);
    const { attitude, mortar, material, firing, whole } = this.words;
    const sides = FACES[attitude];
    const square = { absent: 'not done: as broad as long' };
    return {
      number,
      context: this.structure,
      ring: shape.ring.map((one) => [...one]),
      axis: shape.bearing === undefined ? square : shape.axis.map((one) => [...one]),
      bearing: shape.bearing ?? square,
      ...(sides ? { [sides[0]]: millimetres(shape.longer), [sides[1]]: millimetres(shape.shorter) } : {}),
      ...(attitude ? { attitude } : {}),
      ...(mortar ? { mortar } : {}),
      ...(material ? { material } : {}),
      ...(firing ? { firing } : {}),
      ...(whole === undefined ? {} : { whole }),
      ...recorded(),
    };
  }
}
