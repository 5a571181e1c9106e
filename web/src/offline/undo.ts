/** Undo and redo of this device's acts: a further change each, never a rubbing out. */

import { sync } from '../strings/sync.ts';
import { rewrite, type Change, type Stamp } from './change.ts';
import type { Act, Writing } from './disk.ts';
import { applied, type Folded } from './fold.ts';
import { foldedIn } from './memory.ts';
import { keep } from './pen.ts';
import { CannotUndo } from './refusals.ts';
import { fieldLabel, kindTitle, labelOf } from './telling.ts';

/** Take back the last act of this device; returns what was undone, in words. */
export async function undo(): Promise<string> {
  let words = '';
  await keep(async (within, stamp) => {
    const act = await lastWhere(within, (one) => one.undoing.length === 0);
    if (!act) throw new CannotUndo(sync.nothingToUndo);
    const undoing = await takenBack(within, stamp, act.changes);
    void within.objectStore('acts').put({ ...act, undoing });
    words = sync.undone(toldOf(act));
    return undoing;
  });
  return words;
}

/** Do again what was undone last; returns what was done again, in words. */
export async function redo(): Promise<string> {
  let words = '';
  await keep(async (within, stamp) => {
    const act = await nextUndone(within);
    if (!act) throw new CannotUndo(sync.nothingToRedo);
    const again = await takenBack(within, stamp, act.undoing);
    void within.objectStore('acts').put({ ...act, changes: again, undoing: [] });
    words = sync.redone(toldOf(act));
    return again;
  });
  return words;
}

/** Return the changes that take others back, the last first. */
async function takenBack(within: Writing, stamp: () => Stamp, changes: readonly Change[]): Promise<Change[]> {
  const undoing: Change[] = [];
  const touched = new Map<string, Folded>();
  for (const change of [...changes].reverse()) {
    const field = change.field || 'void';
    const folded = touched.get(change.record) ?? (await foldedIn(within, change.record));
    const heads = (folded?.fields[field] ?? []).map((head) => head.change);
    const creates = !change.field;
    if (!creates && (heads.length !== 1 || heads[0] !== change.id)) throw new CannotUndo(sync.changedSince(fieldLabel(change.kind, field), labelOf(change.record)));
    const [value, replaced] = creates ? ['undone', null] : [change.replaced ?? null, change.value ?? null];
    const { kind, record } = change;
    const back = rewrite(stamp(), { kind, record, field, value, replaced, after: heads }, { why: `undo of ${change.id}` });
    touched.set(record, applied(folded, back));
    undoing.push(back);
  }
  return undoing;
}

async function lastWhere(within: Writing, holds: (act: Act) => boolean): Promise<Act | undefined> {
  for (let at = await within.objectStore('acts').openCursor(null, 'prev'); at; at = await at.continue()) if (holds(at.value)) return at.value;
  return undefined;
}

/** Return the act to do again: the earliest of those undone at the end; a new act after them leaves none. */
async function nextUndone(within: Writing): Promise<Act | undefined> {
  let found: Act | undefined;
  for (let at = await within.objectStore('acts').openCursor(null, 'prev'); at && at.value.undoing.length > 0; at = await at.continue()) found = at.value;
  return found;
}

function toldOf(act: Act): string {
  const [first] = act.changes;
  if (!first) return '';
  const what = first.field ? sync.fieldOf(fieldLabel(first.kind, first.field), labelOf(first.record)) : sync.newRecord(kindTitle(first.kind), labelOf(first.record));
  return act.changes.length > 1 ? sync.andMore(what, act.changes.length - 1) : what;
}
