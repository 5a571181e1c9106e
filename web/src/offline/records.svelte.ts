/** The records in memory, base with this device's own changes on top, so that pages read them at once and follow them. */

import type { Change } from './change.ts';
import { absenceIn, applied, differs, type Folded, type Head } from './fold.ts';

/** One record as this device sees it. */
export interface Held {
  readonly id: string;
  readonly kind: string;
  /** Plain values; blanks are left out. */
  readonly values: Readonly<Record<string, unknown>>;
  /** Fields absent on purpose, each with its words. */
  readonly absences: Readonly<Record<string, string>>;
  /** The writes in view of each field, latest first; more than one that differ are to be settled. */
  readonly heads: Readonly<Record<string, readonly Head[]>>;
  /** Whether it has changes that the server has not acknowledged. */
  readonly waiting: boolean;
  /** Whether only its number, kind and place in the order are told here: the rest may tell of a burial. */
  readonly withheld: boolean;
}

/** A field that two people wrote differently without sight of each other. */
export interface Difference {
  readonly id: string;
  readonly field: string;
  readonly heads: readonly Head[];
}

class Turn {
  at = $state(0);
}

interface Listed {
  readonly turn: Turn;
  readonly ids: Set<string>;
  all: readonly Held[] | undefined;
  numbers: Map<string, Held> | undefined;
  pointers: Map<string, Map<string, Held[]>>;
}

const held = new Map<string, Held>();
const kinds = new Map<string, Listed>();
/** Moves with every change of any record: followed where the kind is not known yet. */
const anything = new Turn();
const differing = new Map<string, Difference[]>();
const NONE: readonly Held[] = [];
const EMPTY: Listed = { turn: anything, ids: new Set(), all: NONE, numbers: new Map(), pointers: new Map() };

/** Put a record as its base and the changes on top of it leave it; without either it is gone. */
export function show(id: string, base: Folded | undefined, onTop: readonly Change[]): void {
  const before = held.get(id);
  let folded = base;
  for (const change of onTop) folded = applied(folded, change);
  if (folded) held.set(id, heldOf(folded, onTop.length > 0));
  else held.delete(id);
  const found = folded ? differencesOf(folded) : [];
  if (found.length > 0) differing.set(id, found);
  else differing.delete(id);
  if (before?.kind !== folded?.kind) touched(before?.kind, id, false); // one that stays keeps its place among its kind
  touched(folded?.kind, id, true);
  anything.at += 1;
}

/** Forget every record in memory, as when the device joins another site. */
export function forget(): void {
  for (const id of [...held.keys()]) show(id, undefined, []);
}

export function all(kind: string): readonly Held[] {
  const listed = follow(kind);
  listed.all ??= [...listed.ids].map((id) => held.get(id)).filter((one) => one !== undefined && !isVoid(one)) as Held[];
  return listed.all;
}

export function get(id: string): Held | undefined {
  const found = held.get(id);
  if (found) void follow(found.kind).turn.at;
  else void anything.at;
  return held.get(id);
}

export function pointing(kind: string, field: string, id: string): readonly Held[] {
  const listed = follow(kind);
  let table = listed.pointers.get(field);
  if (!table) {
    table = new Map();
    for (const one of all(kind)) {
      const value = one.values[field];
      for (const target of Array.isArray(value) ? value : [value]) if (typeof target === 'string') push(table, target, one);
    }
    if (listed !== EMPTY) listed.pointers.set(field, table);
  }
  return table.get(id) ?? NONE;
}

/** Return the record of that number; a void one only when no other has it. */
export function numbered(kind: string, number: string): Held | undefined {
  return numbersOf(kind).get(number.trim());
}

/** Return every number of a kind, those of void records too, with its record. */
export function numbersOf(kind: string): ReadonlyMap<string, Held> {
  const listed = follow(kind);
  if (!listed.numbers) {
    listed.numbers = new Map();
    for (const id of listed.ids) {
      const one = held.get(id);
      const number = one?.values['number'];
      if (one && number !== undefined && (!listed.numbers.has(String(number)) || !isVoid(one))) listed.numbers.set(String(number), one);
    }
  }
  return listed.numbers;
}

/** Return the fields that two people wrote differently without sight of each other. */
export function differences(): readonly Difference[] {
  void anything.at;
  return [...differing.values()].flat();
}

export function isVoid(one: Held): boolean {
  return one.values['void'] !== undefined;
}

function differencesOf(folded: Folded): Difference[] {
  return Object.entries(folded.fields)
    .filter(([, heads]) => heads.length > 1 && differs(heads))
    .map(([field, heads]) => ({ id: folded.id, field, heads }));
}

function heldOf(folded: Folded, waiting: boolean): Held {
  const values: Record<string, unknown> = {};
  const absences: Record<string, string> = {};
  for (const [name, heads] of Object.entries(folded.fields)) {
    const value = heads[0]?.value;
    const absence = absenceIn(value);
    if (absence !== undefined) absences[name] = absence;
    else if (value !== null && value !== undefined) values[name] = value;
  }
  return { id: folded.id, kind: folded.kind, values, absences, heads: folded.fields, waiting, withheld: folded.withheld ?? false };
}

function follow(kind: string): Listed {
  const listed = kinds.get(kind) ?? EMPTY; // a list made here would belong to the reader, who would then not follow it
  void listed.turn.at;
  return listed;
}

function touched(kind: string | undefined, id: string, there: boolean): void {
  if (kind === undefined) return;
  let listed = kinds.get(kind);
  if (!listed) {
    listed = { turn: new Turn(), ids: new Set(), all: undefined, numbers: undefined, pointers: new Map() };
    kinds.set(kind, listed);
  }
  if (there) listed.ids.add(id);
  else listed.ids.delete(id);
  listed.all = listed.numbers = undefined;
  listed.pointers.clear();
  listed.turn.at += 1;
}

function push(table: Map<string, Held[]>, target: string, one: Held): void {
  const found = table.get(target);
  if (found) found.push(one);
  else table.set(target, [one]);
}
