/** Drawing and mending the outline of a context, on the plan or on a wall: by a stroke of the hand or corner by corner. */

import { closedOutline, cornersOf, type Corner } from '../../geometry/outline.ts';
import { apart, nearestOn, rounded, type Place } from '../../geometry/places.ts';
import {
  anticlockwise, crossingOf, mended, signedArea, withEdge, withInserted, withMoved, withoutCorner, type Edge, type Ring,
} from '../../geometry/ring.ts';
import { onOneSide, type Snapped } from '../../geometry/snap.ts';
import { createMany, writeMany } from '../../offline/index.ts';
import { recorded } from './keep.ts';
import type { Board } from './board.svelte.ts';
import type { Shape, Things } from './things.ts';
import type { Mark, Tool } from './tool.ts';

type Chosen = { readonly corner: number } | { readonly edge: number } | undefined;

/** What of the draft can be taken back. */
interface Step {
  readonly open: readonly Corner[];
  readonly ring: Ring | undefined;
}

/** An outline in hand that is not on record yet. */
interface OutlineDraft extends Step {
  readonly context: string;
  readonly mending: string;
}

export class OutlineTool implements Tool {
  readonly #board: Board;
  readonly #things: () => Things;
  /** The wall it is drawn on; empty on a plan. */
  readonly #wall: string;
  context = $state('');
  /** The sheet of the drawing register; empty for none. */
  drawing = $state('');
  /** Kind of the edges drawn next. */
  kind = $state<Edge>('seen');
  open = $state.raw<readonly Corner[]>([]);
  ring = $state.raw<Ring>();
  chosen = $state.raw<Chosen>();
  /** The record being mended; empty while a new one is drawn. */
  mending = $state('');
  #longer = false;
  #steps = $state.raw<readonly Step[]>([]);

  constructor(board: Board, things: () => Things, wall = '') {
    this.#board = board;
    this.#things = things;
    this.#wall = wall;
  }

  get strokes(): boolean {
    return this.ring === undefined;
  }

  get crossing(): boolean {
    return this.ring !== undefined && crossingOf(this.ring.corners) !== undefined;
  }

  /** Inside the outline, in square lengths; undefined until it is closed. */
  get area(): number | undefined {
    return this.ring && Math.abs(signedArea(this.ring.corners));
  }

  get marks(): readonly Mark[] {
    const ring = this.ring;
    if (!ring) return [{ line: this.open.map((one) => one.at), look: this.kind }, ...this.open.map((one): Mark => ({ spot: one.at, look: 'corner' }))];
    const chosen = this.chosen;
    const edges = ring.corners.map((here, index): Mark => {
      const next = ring.corners[(index + 1) % ring.corners.length] as Place;
      const marked = chosen !== undefined && 'edge' in chosen && chosen.edge === index;
      return { line: [here, next], look: ring.edges[index] ?? 'uncertain', ...(marked ? { colour: '#b3400e', broad: true } : {}) };
    });
    const corners = ring.corners.map((spot, index): Mark => ({ spot, look: chosen !== undefined && 'corner' in chosen && chosen.corner === index ? 'chosen' : 'corner' }));
    return [...edges, ...corners];
  }

  press(at: Snapped): void {
    if (this.ring) {
      this.chosen = this.#nearest(at.at);
      return;
    }
    const first = this.open[0];
    if (first && this.open.length > 2 && apart(first.at, at.at) < this.#board.reach) {
      this.close();
      return;
    }
    const last = this.open[this.open.length - 1];
    if (last && apart(last.at, at.at) === 0) return;
    this.#keepStep();
    this.open = [...this.open, { ...at, kind: this.kind }];
  }

  drawn(line: readonly Place[]): void {
    const { limit, shapes } = this.#things();
    const around = { limit, neighbours: shapes.filter((shape) => shape.id !== this.mending).map((shape) => shape.corners) };
    const reach = { snap: this.#board.snaps ? this.#board.reach : 0, tolerance: this.#board.tolerance };
    const corners = cornersOf(line, this.kind, reach, around);
    if (corners.length < 2) return;
    this.#keepStep();
    const alone = this.open.length === 0;
    this.open = [...this.open, ...corners];
    const [first, last] = [this.open[0] as Corner, this.open[this.open.length - 1] as Corner];
    const meets = apart(first.at, last.at) < 2.5 * this.#board.reach;
    if (meets && this.open.length > 3) this.open = this.open.slice(0, -1);
    const fromSideToSide = alone && first.along !== undefined && last.along !== undefined && !onOneSide(first.along, last.along, limit);
    const alongASide = alone && corners.length > 2 && onOneSide(first.along, last.along, limit);
    if (meets || fromSideToSide || alongASide) this.#closeUp();
  }

  close(): void {
    if (this.ring || this.open.length < 2) return;
    this.#keepStep();
    this.#closeUp();
  }

  /** Close along the limit the other way round. */
  otherWay(): void {
    if (this.open.length < 2) return;
    this.#keepStep();
    this.#longer = !this.#longer;
    this.#closeUp();
  }

  /** Whether there are two ways round to close by. */
  get hasOtherWay(): boolean {
    const [first, last] = [this.open[0], this.open[this.open.length - 1]];
    const { limit } = this.#things();
    return this.ring !== undefined && limit.closed && first?.along !== undefined && last?.along !== undefined && !onOneSide(first.along, last.along, limit);
  }

  takeBack(): boolean {
    const step = this.#steps[this.#steps.length - 1] ?? this.#before();
    if (!step) return false;
    this.#steps = this.#steps.slice(0, -1);
    this.open = step.open;
    this.ring = step.ring;
    this.chosen = undefined;
    return true;
  }

  grab(at: Place): ((to: Snapped) => void) | undefined {
    const ring = this.ring;
    if (!ring) return undefined;
    const corner = ring.corners.findIndex((one) => apart(one, at) < this.#board.reach);
    if (corner < 0) return undefined;
    this.#keepStep();
    this.chosen = { corner };
    return (to) => this.ring && (this.ring = withMoved(this.ring, corner, to.at));
  }

  moveCorner(corner: number, to: Place): void {
    this.#change((ring) => withMoved(ring, corner, rounded(to)));
  }

  insertCorner(edge: number): void {
    const ring = this.ring;
    const [here, next] = [ring?.corners[edge], ring?.corners[(edge + 1) % (ring.corners.length || 1)]];
    if (!here || !next) return;
    this.#change((held) => withInserted(held, edge, rounded(nearestOn(this.#board.cursor ?? middle(here, next), here, next).at)));
    this.chosen = { corner: edge + 1 };
  }

  deleteCorner(corner: number): void {
    if ((this.ring?.corners.length ?? 0) <= 3) return;
    this.#change((ring) => withoutCorner(ring, corner));
    this.chosen = undefined;
  }

  setEdge(edge: number, kind: Edge): void {
    this.#change((ring) => withEdge(ring, edge, kind));
  }

  /** Leave out the loops; tells whether anything sound is left. */
  mend(): boolean {
    const sound = this.ring && mended(this.ring);
    if (!sound) return false;
    this.#change(() => anticlockwise({ ...sound, corners: sound.corners.map((one) => rounded(one)) }));
    return true;
  }

  /** Take an outline that is on record into hand. */
  take(shape: Shape): void {
    this.clear();
    this.mending = shape.id;
    this.context = shape.context?.id ?? '';
    this.ring = { corners: shape.corners, edges: shape.edges };
  }

  /** What is in hand, to be found again after a reload; undefined when nothing is. */
  get draft(): OutlineDraft | undefined {
    const { open, ring, context, mending } = this;
    return open.length > 0 || ring ? { open, ring, context, mending } : undefined;
  }

  /** Take up again what was in hand. */
  restore(draft: unknown): void {
    const held = draft as OutlineDraft | undefined;
    if (!held || !Array.isArray(held.open)) return;
    this.open = held.open;
    this.ring = held.ring;
    this.context = held.context;
    this.mending = held.mending;
  }

  clear(): void {
    this.open = [];
    this.ring = undefined;
    this.chosen = undefined;
    this.mending = '';
    this.#longer = false;
    this.#steps = [];
  }

  /** Have the outline on the device's disk; returns the id of its record. */
  async keep(): Promise<string> {
    const ring = this.ring && anticlockwise(this.ring);
    if (!ring || this.crossing) return '';
    const [corners, edges] = [ring.corners.map((one) => [...one]), [...ring.edges]];
    let id = this.mending;
    if (id) {
      await writeMany([{ id, field: 'ring', value: corners }, { id, field: 'edges', value: edges }]);
    } else {
      const on = this.#wall ? { wall: this.#wall } : this.drawing ? { drawing: this.drawing } : {};
      const [made] = await createMany([{ kind: this.#wall ? 'wall_outline' : 'outline', values: { context: this.context, ...on, ring: corners, edges, ...recorded() } }]);
      id = made ?? '';
    }
    this.clear();
    return id;
  }

  #closeUp(): void {
    const ring = closedOutline(this.open, this.#things().limit, this.#longer);
    if (ring) this.ring = ring;
  }

  #change(make: (ring: Ring) => Ring): void {
    if (!this.ring) return;
    this.#keepStep();
    this.ring = make(this.ring);
  }

  #keepStep(): void {
    this.#steps = [...this.#steps, { open: this.open, ring: this.ring }];
  }

  /** The step before, of a draft found again whose steps are not known: open again, then a corner fewer. */
  #before(): Step | undefined {
    if (this.ring) return this.mending || this.open.length === 0 ? undefined : { open: this.open, ring: undefined };
    return this.open.length > 0 ? { open: this.open.slice(0, -1), ring: undefined } : undefined;
  }

  #nearest(at: Place): Chosen {
    const ring = this.ring;
    if (!ring) return undefined;
    const corner = ring.corners.findIndex((one) => apart(one, at) < this.#board.reach);
    if (corner >= 0) return { corner };
    const edge = ring.corners.findIndex((here, index) => {
      const next = ring.corners[(index + 1) % ring.corners.length] as Place;
      return apart(nearestOn(at, here, next).at, at) < this.#board.reach;
    });
    return edge >= 0 ? { edge } : undefined;
  }
}

const middle = (one: Place, other: Place): Place => nearestOn([(one[0] + other[0]) / 2, (one[1] + other[1]) / 2] as unknown as Place, one, other).at;
