/** Begins the device side: the disk is read into memory, then sending and fetching go on by themselves. */

import { showToken } from '../api/client.ts';
import { wordsOf } from '../api/refusal_words.ts';
import { single } from './disk.ts';
import { disk } from './memory.ts';
import { noDisk } from './said.ts';
import { say } from './state.svelte.ts';
import { beginSync } from './sync.ts';

let begun: Promise<void> | undefined;

/** Begin; asked again it does nothing more. A browser that keeps nothing for pages still shows the record. */
export function start(): Promise<void> {
  begun ??= begin().catch((cause: unknown) => {
    say(noDisk(wordsOf(cause)));
  });
  return begun;
}

async function begin(): Promise<void> {
  const opened = await disk();
  showToken((await single(opened, 'token')) ?? '');
  beginSync();
}
