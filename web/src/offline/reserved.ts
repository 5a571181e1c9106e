/**
 * One number is offered in one tab of the device only: it is reserved there until a record has it, or the page that showed it is left,
 * or the tab goes. Where the browser gives no locks a reservation counts for ten minutes.
 */

import type { Change } from './change.ts';
import { writing, type Reserved, type Writing } from './disk.ts';
import { disk } from './memory.ts';

const LOCK = 'baulk numbers';
const TABS = 'baulk tab ';
const LAPSE_MS = 600_000;

const tab = crypto.getRandomValues(new Uint32Array(2)).join('-');
let here: Promise<void> | undefined;

/** Reserve for this tab the first number that no other tab has reserved and nothing in the queue has; its own stays its own. */
export function reserve(kind: string, free: readonly number[]): Promise<number | undefined> {
  return alone(async (lives) => {
    const within = writing(await disk(), ['single', 'queue']);
    const [kept, used] = await Promise.all([reservedIn(within), queuedIn(within, kind)]); // memory may not have heard of another tab's yet
    const standing = kept.filter(lives);
    const others = new Set(standing.filter((one) => one.kind === kind && one.tab !== tab).map((one) => one.number));
    const open = free.filter((number) => !used.has(String(number)));
    const own = standing.find((one) => one.kind === kind && one.tab === tab && open.includes(one.number));
    const number = own?.number ?? open.find((one) => !others.has(one));
    const rest = standing.filter((one) => one.kind !== kind || one.tab !== tab);
    const mine = number === undefined ? [] : [{ kind, number, tab, at: Date.now() }];
    void within.objectStore('single').put([...rest, ...mine], 'reserved');
    await within.done;
    return number;
  });
}

/** Give back what this tab has reserved of a kind: the page that showed it is left. */
export function giveBack(kind: string): Promise<void> {
  return alone(async () => {
    const within = writing(await disk(), ['single']);
    const rest = (await reservedIn(within)).filter((one) => one.kind !== kind || one.tab !== tab);
    void within.objectStore('single').put(rest, 'reserved');
    await within.done;
  });
}

async function reservedIn(within: Writing): Promise<readonly Reserved[]> {
  return ((await within.objectStore('single').get('reserved')) as Reserved[] | undefined) ?? [];
}

/** Return the numbers of a kind in the queue. */
async function queuedIn(within: Writing, kind: string): Promise<ReadonlySet<string>> {
  const queued = await within.objectStore('queue').getAll();
  return new Set(queued.map((one) => one.change).filter((change) => change.kind === kind).map(numberIn));
}

function numberIn(change: Change): string {
  const value = change.field ? { [change.field]: change.value } : change.value;
  return String((value as Record<string, unknown> | null)?.['number'] ?? '');
}

/** Do something while no other tab does the like, knowing which reservations are those of tabs that are still there. */
async function alone<T>(work: (lives: (one: Reserved) => boolean) => Promise<T>): Promise<T> {
  if (!('locks' in navigator)) return work((one) => one.tab === tab || Date.now() - one.at < LAPSE_MS);
  here ??= stayHere();
  await here;
  return navigator.locks.request(LOCK, async () => {
    const { held } = await navigator.locks.query();
    const tabs = new Set((held ?? []).map((lock) => lock.name));
    return work((one) => tabs.has(TABS + one.tab));
  });
}

/** Hold a lock for as long as this tab is there. */
function stayHere(): Promise<void> {
  return new Promise((resolve) => {
    void navigator.locks.request(TABS + tab, () => {
      resolve();
      return new Promise(() => undefined); // the browser lets go of it when the tab goes
    });
  });
}
