/** Recording on this device, with and without a network: all that the rest of the page may use. */

import type { Notice } from './notices.ts';
import { act, newId, plain, type Deed } from './pen.ts';
import { state } from './state.svelte.ts';

export type { Head } from './fold.ts';
export type { Notice } from './notices.ts';
export type { Difference, Held } from './records.svelte.ts';
export { CannotUndo, NewerPage, NobodyNamed, NotHere, NotKept, OutOfNumbers } from './refusals.ts';
export { factsOf, knowFields } from './facts.svelte.ts';
export { fileBlob, fileUrl, keepFile, pictureOf } from './files.ts';
export { joinSite } from './joining.ts';
export { blockOf, freeNumbers, nextNumber, type Block } from './numbers.ts';
export { nameDevice, newId } from './pen.ts';
export { all, differences, get, isVoid, numbered, pointing } from './records.svelte.ts';
export { giveBack } from './reserved.ts';
export { tryRefused } from './sending.ts';
export { start } from './start.ts';
export { unsay } from './state.svelte.ts';
export { askToLast, room, type Room } from './storage.ts';
export { sendNow } from './sync.ts';
export { saveWaiting, takeIn, waiting, type Waiting } from './waiting.ts';
export { fieldLabel, kindTitle, labelOf } from './telling.ts';
export { redo, undo } from './undo.ts';

/** How this device stands; read in markup it is followed. */
export const device: {
  readonly ready: boolean;
  readonly joined: boolean;
  readonly person: string;
  readonly device: string;
  readonly site: string;
  readonly online: boolean;
  readonly queued: number;
  readonly refused: number;
  readonly files: number;
  readonly revision: number;
  readonly ahead: number;
  readonly seen: number;
  readonly sending: boolean;
  readonly said: readonly Notice[];
} = state;

/** What a field of a record is to hold. */
interface Field {
  readonly id: string;
  readonly field: string;
  readonly value: unknown;
}

const written = ({ id, field, value }: Field): Deed => ({ does: 'write', id, field, value: plain(value ?? null) });

/** Make a record; its id is returned when it is on the disk. */
export async function create(kind: string, values: Record<string, unknown>, more: { entered?: string } = {}): Promise<string> {
  const id = newId();
  await act([{ does: 'create', kind, id, values: plain(values), beside: more }]);
  return id;
}

/** Make several records, and write fields of others that go with them, in one act, which one press of undo takes back. */
export async function createMany(items: readonly { kind: string; values: Record<string, unknown>; id?: string }[], along: readonly Field[] = []): Promise<string[]> {
  const made = items.map((item) => ({ does: 'create' as const, kind: item.kind, id: item.id ?? newId(), values: plain(item.values) }));
  await act([...made, ...along.map(written)]);
  return made.map((one) => one.id);
}

/** Write one field; null blanks it, `{absent: words}` leaves it out on purpose. The same value again writes nothing. */
export async function write(id: string, field: string, value: unknown, more: { entered?: string; why?: string } = {}): Promise<void> {
  await act([{ does: 'write', id, field, value: plain(value ?? null), beside: more }]);
}

/** Write several fields in one act, which one press of undo takes back. */
export async function writeMany(items: readonly Field[]): Promise<void> {
  await act(items.map(written));
}

/** Settle a difference by one value, with the reason; both values stay in the record's history. */
export async function settle(id: string, field: string, value: unknown, why: string): Promise<void> {
  await act([{ does: 'write', id, field, value: plain(value ?? null), beside: { why } }]);
}

