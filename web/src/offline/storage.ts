/** Room on the device: asked for to stay, and said when it is nearly used up. */

import { sync } from '../strings/sync.ts';
import { mayBeCleared, storageNearlyFull } from './said.ts';
import { say, state, unsay } from './state.svelte.ts';

const LEAST_LEFT = 200_000_000;
const LEAST_SHARE = 0.1;

export interface Room {
  readonly used: number;
  readonly whole: number;
  /** Whether the browser has promised not to clear it by itself; undefined where it cannot tell. */
  readonly lasting: boolean | undefined;
}

/** Return how much room the page has and uses; undefined where the browser does not tell. */
export async function room(): Promise<Room | undefined> {
  if (!navigator.storage?.estimate) return undefined;
  const { usage, quota } = await navigator.storage.estimate();
  const lasting = navigator.storage.persisted ? await navigator.storage.persisted() : undefined;
  return { used: usage ?? 0, whole: quota ?? 0, lasting };
}

/** Say when room runs short. */
export async function watchStorage(): Promise<void> {
  const left = await shortOf();
  if (left !== undefined) say(storageNearlyFull(sync.size(left)));
  else unsay('storage');
}

/** Return how many bytes are left when room runs short; undefined when it does not, or the browser does not tell. */
export async function shortOf(): Promise<number | undefined> {
  const found = await room();
  if (!found || found.whole === 0) return undefined;
  const left = found.whole - found.used;
  return left < LEAST_LEFT || left < found.whole * LEAST_SHARE ? left : undefined;
}

/** Ask the browser to keep the page's storage; what it does not promise is said once something waits. */
export async function askToLast(): Promise<boolean> {
  if (!navigator.storage?.persist) return false;
  const lasting = (await navigator.storage.persisted()) || (await navigator.storage.persist());
  if (lasting) unsay('may be cleared');
  else if (state.queued + state.files > 0) say(mayBeCleared());
  return lasting;
}
