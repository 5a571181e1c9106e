/** Whether a relation about to be kept makes a loop: a search among the relations that this device holds, before anything is sent. */

/** One relation as the search needs it. */
export interface Ordered {
  readonly id: string;
  readonly later: string;
  readonly earlier: string;
  readonly how: string;
  readonly certainty: string;
}

/** One step of a loop: `from` lies over `to`, or both are one in time. */
export interface Step {
  readonly from: string;
  readonly to: string;
  readonly how: string;
  /** Id of the relation; empty for the one about to be kept. */
  readonly relation: string;
  readonly certainty: string;
}

export const ORDERING: readonly string[] = ['overlies', 'cuts', 'fills', 'abuts'];
export const SAME: readonly string[] = ['same as', 'bonded with'];

interface Reached {
  readonly at: string;
  readonly step: Step;
  readonly before: Reached | undefined;
  /** Whether the way here goes down at least once. */
  readonly down: boolean;
}

/** The relations of the device, kept so that one more or one less costs no more than itself. */
export class LoopWatch {
  readonly #steps = new Map<string, Map<string, Step>>();
  readonly #held = new Map<string, Ordered>();

  get count(): number {
    return this.#held.size;
  }

  /** Take in a relation, or its new wording. */
  put(relation: Ordered): void {
    const before = this.#held.get(relation.id);
    if (before && before.later === relation.later && before.earlier === relation.earlier && before.how === relation.how && before.certainty === relation.certainty) return;
    this.drop(relation.id);
    this.#held.set(relation.id, relation);
    for (const step of stepsOf(relation)) this.#from(step.from).set(`${relation.id} ${step.to}`, step);
  }

  drop(id: string): void {
    const relation = this.#held.get(id);
    if (!relation) return;
    this.#held.delete(id);
    for (const step of stepsOf(relation)) this.#steps.get(step.from)?.delete(`${id} ${step.to}`);
  }

  /** Hold exactly these relations; what is unchanged is left alone. */
  hold(relations: readonly Ordered[]): void {
    const now = new Set(relations.map((relation) => relation.id));
    for (const id of [...this.#held.keys()]) if (!now.has(id)) this.drop(id);
    for (const relation of relations) this.put(relation);
  }

  /** Return a shortest loop that the relation would close, beginning with itself; empty when it closes none. */
  loopOf(relation: Omit<Ordered, 'id'> & { readonly id?: string }): Step[] {
    const { later, earlier, how, certainty, id = '' } = relation;
    if (later === '' || earlier === '') return [];
    const step = (from: string, to: string): Step => ({ from, to, how, relation: id, certainty });
    if (SAME.includes(how)) {
      if (later === earlier) return [];
      const down = this.#way(later, earlier, id, true);
      if (down) return [step(earlier, later), ...down];
      const up = this.#way(earlier, later, id, true);
      return up ? [step(later, earlier), ...up] : [];
    }
    if (!ORDERING.includes(how)) return [];
    if (later === earlier) return [step(later, earlier)];
    const back = this.#way(earlier, later, id, false);
    return back ? [step(later, earlier), ...back] : [];
  }

  #from(context: string): Map<string, Step> {
    let steps = this.#steps.get(context);
    if (!steps) this.#steps.set(context, (steps = new Map()));
    return steps;
  }

  /** Return a shortest way down from one context to another, past `without`; `mustGoDown` asks for one step at least that orders. */
  #way(from: string, to: string, without: string, mustGoDown: boolean): Step[] | undefined {
    let front: Reached[] = [];
    const seen = new Set<string>([`${from} ${false}`]);
    const look = (at: string, before: Reached | undefined): Reached | undefined => {
      for (const step of this.#steps.get(at)?.values() ?? []) {
        if (step.relation === without && without !== '') continue;
        const down = (before?.down ?? false) || ORDERING.includes(step.how);
        const mark = `${step.to} ${mustGoDown ? down : false}`;
        const reached = { at: step.to, step, before, down };
        if (step.to === to && (down || !mustGoDown)) return reached;
        if (seen.has(mark)) continue;
        seen.add(mark);
        front.push(reached);
      }
      return undefined;
    };
    const first = look(from, undefined);
    if (first) return wayTo(first);
    while (front.length > 0) {
      const now = front;
      front = [];
      for (const reached of now) {
        const end = look(reached.at, reached);
        if (end) return wayTo(end);
      }
    }
    return undefined;
  }
}

function stepsOf({ id, later, earlier, how, certainty }: Ordered): Step[] {
  const step = (from: string, to: string): Step => ({ from, to, how, relation: id, certainty });
  if (ORDERING.includes(how)) return [step(later, earlier)];
  return SAME.includes(how) && later !== earlier ? [step(later, earlier), step(earlier, later)] : [];
}

function wayTo(end: Reached): Step[] {
  const way: Step[] = [];
  for (let at: Reached | undefined = end; at; at = at.before) way.push(at.step);
  return way.reverse();
}
