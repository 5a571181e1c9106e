/** The pen of this device: stamps changes and has them on the disk before it says so. */

import { creation, rewrite, type Beside, type Change, type Stamp } from './change.ts';
import { keepSingle, writing, type Writing } from './disk.ts';
import { applied, sameValue, type Folded } from './fold.ts';
import { idAt, nextTime, NO_TIME, randomBits, timeText } from './identity.ts';
import { disk, foldedIn, readAgain, readStanding } from './memory.ts';
import { NobodyNamed, NotHere, NotKept } from './refusals.ts';
import { state } from './state.svelte.ts';
import { tell } from './tabs.ts';

/** One thing an act does: a record that it makes, or a field that it writes. */
export type Deed =
  | { readonly does: 'create'; readonly kind: string; readonly id: string; readonly values: Record<string, unknown>; readonly beside?: Beside }
  | { readonly does: 'write'; readonly id: string; readonly field: string; readonly value: unknown; readonly beside?: Beside };

/** Return this device's clock, put right by the server's. */
export function clock(): number {
  return Math.max(0, Math.round(Date.now() + state.ahead));
}

export function newId(): string {
  return idAt(clock(), randomBits());
}

/** Do everything in one act, which one press of undo takes back. When it resolves all of it is on the disk. */
export async function act(deeds: readonly Deed[]): Promise<void> {
  await keep(async (within, stamp) => {
    const changes: Change[] = [];
    const touched = new Map<string, Folded>();
    for (const deed of deeds) {
      const folded = touched.get(deed.id) ?? (await foldedIn(within, deed.id));
      const change = changeOf(deed, folded, stamp);
      if (!change) continue;
      changes.push(change);
      touched.set(deed.id, applied(folded, change));
    }
    if (changes.length > 0) void within.objectStore('acts').add({ changes, undoing: [] });
    return changes;
  });
}

/** Write the changes that `make` returns into the queue, in one transaction, then show them. */
export async function keep(make: (within: Writing, stamp: () => Stamp) => Promise<readonly Change[]>): Promise<readonly Change[]> {
  const opened = await disk();
  const within = writing(opened);
  within.done.catch(() => undefined); // waited for below, where its refusal is told
  const { changes, time } = await made(within, make);
  if (changes.length === 0) return changes;
  try {
    for (const change of changes) void within.objectStore('queue').add({ change, record: change.record });
    void within.objectStore('single').put(time, 'time');
    await within.done;
  } catch (cause) {
    throw new NotKept(cause);
  }
  state.queued += changes.length; // before anything is waited for: they may be sent, and counted anew, meanwhile
  const ids = [...new Set(changes.map((change) => change.record))];
  await readAgain(ids);
  tell({ changed: ids, send: true });
  wake();
  return changes;
}

async function made(
  within: Writing,
  make: (within: Writing, stamp: () => Stamp) => Promise<readonly Change[]>,
): Promise<{ changes: readonly Change[]; time: string }> {
  const values = within.objectStore('single');
  try {
    const [last, person, device] = await Promise.all([values.get('time'), values.get('person'), values.get('device')]);
    if (!person) throw new NobodyNamed();
    let time = String(last ?? NO_TIME);
    const stamp = (): Stamp => {
      time = nextTime(time, clock());
      return { id: newId(), time, device: String(device), person: String(person) };
    };
    return { changes: await make(within, stamp), time };
  } catch (refusal) {
    within.abort();
    throw refusal;
  }
}

function changeOf(deed: Deed, folded: Folded | undefined, stamp: () => Stamp): Change | undefined {
  if (deed.does === 'create') return creation(stamp(), deed.kind, deed.id, deed.values, deed.beside);
  if (!folded) throw new NotHere(deed.id);
  const heads = folded.fields[deed.field] ?? [];
  const before = heads[0]?.value ?? null;
  if (heads.length < 2 && sameValue(before, deed.value) && !deed.beside?.why) return undefined;
  const after = heads.map((head) => head.change).sort();
  return rewrite(stamp(), { kind: folded.kind, record: folded.id, field: deed.field, value: deed.value, replaced: before, after }, deed.beside);
}

/** Return a value as plain data that a disk and a server can take: a page's followed values are copied. */
export function plain<T>(value: T): T {
  return value === undefined ? value : (JSON.parse(JSON.stringify(value)) as T);
}

/** Say who records on this device, before or without joining a site. */
export async function nameDevice(person: string, device: string): Promise<void> {
  const opened = await disk();
  await keepSingle(opened, { person: person.trim(), device: device.trim() });
  await readStanding(opened);
  tell({ standing: true });
}

const A_DAY = 86_400_000;
const TIME = /^\d{13}\.\d{6}$/;

/** Take note of the latest time known elsewhere, so that what is written next counts as later; one days ahead moves no pen. */
export async function sawTime(within: Writing, times: Iterable<string>): Promise<void> {
  const values = within.objectStore('single');
  let latest = String((await values.get('time')) ?? NO_TIME);
  const before = latest;
  const believed = timeText(clock() + A_DAY);
  for (const time of times) if (time > latest && time < believed && TIME.test(time)) latest = time;
  if (latest !== before) void values.put(latest, 'time');
}

let wanted: () => void = () => undefined;

/** Say that something waits to be sent. */
export function wake(): void {
  wanted();
}

/** Be told when something waits to be sent. */
export function onWritten(listener: () => void): void {
  wanted = listener;
}
