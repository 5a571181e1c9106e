/** Joining a site: a code and initials against a token that every request shows. */

import { showToken } from '../api/client.ts';
import { forgetAnswers } from '../api/kept.svelte.ts';
import { sync } from '../strings/sync.ts';
import { keepSingle, single, writing } from './disk.ts';
import { disk, readAgain, readStanding } from './memory.ts';
import { forget } from './records.svelte.ts';
import * as server from './server.ts';
import { state } from './state.svelte.ts';
import { askToLast } from './storage.ts';
import { joinedAgain } from './sync.ts';

/** Join the site of this server. What waits on the device stays, and is sent afterwards when it is of the same site. */
export async function joinSite(code: string, person: string, device: string): Promise<void> {
  const opened = await disk();
  const joined = await server.join(code.trim(), person.trim(), device.trim());
  showToken(joined.token);
  let hello: server.Hello;
  try {
    hello = await server.hello();
  } catch (refusal) {
    showToken((await single(opened, 'token')) ?? '');
    throw refusal;
  }
  const other = state.site !== '' && state.site !== hello.site;
  if (other && state.queued + state.refused + state.files > 0) {
    showToken((await single(opened, 'token')) ?? '');
    throw new Error(sync.otherSiteWaits(state.queued + state.refused + state.files));
  }
  if (other) await clear(['records', 'queue', 'acts', 'files', 'thumbs']);
  else if ((await single(opened, 'view')) !== hello.view) await clear(['records', 'thumbs']); // what one viewer may see another may not
  await keepSingle(opened, { token: joined.token, person: joined.person, device: joined.device, site: hello.site, view: hello.view, revision: 0 });
  await forgetAnswers();
  await readStanding(opened);
  await askToLast();
  await joinedAgain();
}

/** Clear stores of the disk, and memory with them; what still waits is shown again. */
async function clear(names: readonly ('records' | 'queue' | 'acts' | 'files' | 'thumbs')[]): Promise<void> {
  const opened = await disk();
  const within = writing(opened);
  for (const name of names) void within.objectStore(name).clear();
  await within.done;
  forget();
  await readAgain([...new Set((await opened.getAll('queue')).map((one) => one.record))]);
}
