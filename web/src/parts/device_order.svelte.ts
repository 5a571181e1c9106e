/** The relations that this device holds, as the search for loops and the stack need them; followed by the page. */

import { all, type Held } from '../offline/index.ts';
import { latestFirst } from './latest_first.ts';
import { LoopWatch, type Ordered, type Step } from './loop.ts';

export function orderedOf(relation: Held): Ordered {
  const { later, earlier, how, certainty } = relation.values;
  return { id: relation.id, later: String(later ?? ''), earlier: String(earlier ?? ''), how: String(how ?? ''), certainty: String(certainty ?? '') };
}

const watch = new LoopWatch();
let watched: readonly Held[] | undefined;

/** Return the loop that a relation would close, link by link; empty when it closes none. Read in markup it is followed. */
export function loopOf(relation: Omit<Ordered, 'id'> & { id?: string }): Step[] {
  const relations = all('relation');
  if (relations !== watched) {
    watch.hold(relations.map(orderedOf));
    watched = relations;
  }
  return watch.loopOf(relation);
}

/** Return contexts of a unit, latest first. */
export function stackOf(contexts: readonly Held[]): Held[] {
  const byId = new Map(contexts.map((context) => [context.id, context]));
  return latestFirst([...byId.keys()], all('relation').map(orderedOf)).map((id) => byId.get(id)).filter((context) => context !== undefined);
}
