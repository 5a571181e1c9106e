/** Begins the device side: the disk is read into memory, then sending and fetching go on by themselves. */

import { disk } from './memory.ts';

/** Begin; asked again it does nothing more. */
export async function start(): Promise<void> {
  await disk();
}
