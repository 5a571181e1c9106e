/** The record as the fold of its changes, as `baulk.record.fold` has it, and the same change by change on top of a base. */

import type { Change } from './change.ts';

/** One value that a change wrote into one field. */
export interface Head {
  readonly change: string;
  readonly time: string;
  readonly device: string;
  readonly person: string;
  readonly value: unknown;
  /** The words it was reduced from, as they were typed. */
  readonly entered?: string;
}

/** One record as all its changes leave it: the writes in view of each field, latest first, and which changes were replaced. */
export interface Folded {
  readonly id: string;
  readonly kind: string;
  readonly fields: Readonly<Record<string, readonly Head[]>>;
  readonly replaced: Readonly<Record<string, readonly string[]>>;
  /** Given only as far as the order needs it. */
  readonly withheld?: boolean;
}

/** Return one record from its changes, in whatever order they come; a change given twice counts once. */
export function foldRecord(changes: readonly Change[]): Folded {
  const byId = new Map(changes.map((change) => [change.id, change]));
  const [first] = byId.values();
  if (!first) throw new Error('foldRecord takes the changes of exactly one record');
  const writes = new Map<string, Head[]>();
  const replaced = new Map<string, Set<string>>();
  for (const change of byId.values()) {
    for (const [name, value] of written(change)) {
      bucket(writes, name, () => []).push(headOf(change, value));
      for (const earlier of change.after ?? []) bucket(replaced, name, () => new Set()).add(earlier);
    }
  }
  const fields: Record<string, readonly Head[]> = {};
  for (const [name, heads] of writes) fields[name] = inView(heads, replaced.get(name) ?? new Set());
  return { id: first.record, kind: first.kind, fields, replaced: Object.fromEntries([...replaced].map(([name, ids]) => [name, [...ids]])) };
}

/** Return `base` with one more change; the base itself stays as it is. A change that it holds already alters nothing. */
export function applied(base: Folded | undefined, change: Change): Folded {
  if (!base) return foldRecord([change]);
  const fields: Record<string, readonly Head[]> = { ...base.fields };
  const replaced: Record<string, readonly string[]> = { ...base.replaced };
  for (const [name, value] of written(change)) {
    const gone = new Set([...(replaced[name] ?? []), ...(change.after ?? [])]);
    const known = fields[name] ?? [];
    const heads = known.some((head) => head.change === change.id) ? known : [...known, headOf(change, value)];
    fields[name] = inView(heads, gone);
    if (gone.size > 0) replaced[name] = [...gone];
  }
  return { ...base, fields, replaced };
}

/** Tell whether two people wrote different values here without sight of each other. */
export function differs(heads: readonly Head[]): boolean {
  return heads.some((head) => !sameValue(head.value, heads[0]?.value));
}

/** Return the words of a value that is absent on purpose, or undefined when it is none. */
export function absenceIn(value: unknown): string | undefined {
  if (!isMapping(value)) return undefined;
  const names = Object.keys(value);
  return names.length === 1 && names[0] === 'absent' ? String(value['absent']) : undefined;
}

/** Tell whether two values are equal as Python compares them: order of keys is no difference, and 1 is 1.0 and true. */
export function sameValue(one: unknown, other: unknown): boolean {
  if (Array.isArray(one) && Array.isArray(other)) return one.length === other.length && one.every((part, at) => sameValue(part, other[at]));
  if (isMapping(one) && isMapping(other)) {
    const names = Object.keys(one);
    return names.length === Object.keys(other).length && names.every((name) => name in other && sameValue(one[name], other[name]));
  }
  if (typeof one === 'boolean' || typeof other === 'boolean') return isNumeric(one) && isNumeric(other) && Number(one) === Number(other);
  return (one ?? null) === (other ?? null);
}

function written(change: Change): [string, unknown][] {
  if (change.field) return [[change.field, change.value ?? null]];
  return isMapping(change.value) ? Object.entries(change.value) : [];
}

function headOf(change: Change, value: unknown): Head {
  const { id, time, device, person, entered } = change;
  return { change: id, time, device, person, value, ...(change.field && entered ? { entered } : {}) };
}

function inView(writes: readonly Head[], replaced: ReadonlySet<string>): Head[] {
  const heads = writes.filter((write) => !replaced.has(write.change));
  return (heads.length > 0 ? heads : [...writes]).sort(latestFirst);
}

function latestFirst(one: Head, other: Head): number {
  return compare(other.time, one.time) || compare(other.device, one.device) || compare(other.change, one.change);
}

/** Compare texts by code point, as Python does; the language's own order goes by halves of a code point. */
function compare(one: string, other: string): number {
  if (one === other) return 0;
  const marks = [...one];
  const others = [...other];
  for (let at = 0; at < Math.min(marks.length, others.length); at += 1) {
    const step = (marks[at]?.codePointAt(0) ?? 0) - (others[at]?.codePointAt(0) ?? 0);
    if (step !== 0) return step;
  }
  return marks.length - others.length;
}

function bucket<V>(table: Map<string, V>, name: string, fresh: () => V): V {
  let found = table.get(name);
  if (!found) table.set(name, (found = fresh()));
  return found;
}

function isMapping(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function isNumeric(value: unknown): boolean {
  return typeof value === 'boolean' || typeof value === 'number';
}
