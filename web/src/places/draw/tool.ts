/** What the sheet asks of a tool: what a press, a stroke and a key do, and what of its draft is to be seen. */

import type { Place } from '../../geometry/places.ts';
import type { Edge } from '../../geometry/ring.ts';
import type { Snapped } from '../../geometry/snap.ts';

/** Something of a draft on the sheet. */
export type Mark =
  | { readonly line: readonly Place[]; readonly look: Edge | 'pen' | 'chosen'; readonly closed?: boolean; readonly colour?: string; readonly broad?: boolean }
  | { readonly spot: Place; readonly look: 'corner' | 'chosen' | 'point'; readonly label?: string }
  | { readonly words: string; readonly at: Place; readonly colour?: string };

export interface Tool {
  /** Whether one finger or the pen draws a line; else it moves the sheet and a press sets a point. */
  readonly strokes: boolean;
  readonly marks: readonly Mark[];
  /** Whether its points stay where they are set: nothing beside them draws them to itself. */
  readonly free?: boolean;
  /** A point was set, by a press or by Enter. */
  press(at: Snapped): void;
  /** A line was drawn. */
  drawn(line: readonly Place[]): void;
  /** Take the last point or stroke back; tells whether there was one. */
  takeBack(): boolean;
  /** What is taken hold of at a place, to be dragged; undefined when nothing is. */
  grab?(at: Place): ((to: Snapped) => void) | undefined;
  /** Close what is being drawn: key c. */
  close?(): void;
}
