/** From the disk into memory: the open disk, and records read again after they were written. */

import type { Change } from './change.ts';
import { openDisk, single, type Disk, type Queued, type Writing } from './disk.ts';
import { applied, type Folded } from './fold.ts';
import { NewerPage } from './refusals.ts';
import { show } from './records.svelte.ts';
import { say, state } from './state.svelte.ts';
import { newerPage } from './said.ts';
import { hear } from './tabs.ts';

let opening: Promise<Disk> | undefined;
let closed = false;

/** Return the device's disk, read into memory at the first call. */
export function disk(): Promise<Disk> {
  if (closed) return Promise.reject(new NewerPage());
  opening ??= open();
  return opening;
}

async function open(): Promise<Disk> {
  const opened = await openDisk(() => {
    closed = true;
    say(newerPage());
  });
  const [records, queue] = await Promise.all([opened.getAll('records'), opened.getAll('queue')]);
  const onTop = byRecord(queue);
  for (const folded of records) show(folded.id, folded, onTop.get(folded.id) ?? []);
  const based = new Set(records.map((folded) => folded.id));
  for (const [id, changes] of onTop) if (!based.has(id)) show(id, undefined, changes);
  await readStanding(opened);
  hear(({ changed, standing }) => {
    if (changed) void readAgain(changed);
    if (changed || standing) void readStanding(opened);
  });
  state.ready = true;
  return opened;
}

/** Read records from the disk again, after this tab or another wrote them. */
export async function readAgain(ids: readonly string[]): Promise<void> {
  const reading = (await disk()).transaction(['records', 'queue'], 'readonly');
  const found = await Promise.all(
    ids.map(async (id) => {
      const [base, queued] = await Promise.all([reading.objectStore('records').get(id), reading.objectStore('queue').index('record').getAll(id)]);
      return { id, base, changes: standing(queued) };
    }),
  );
  for (const { id, base, changes } of found) show(id, base, changes);
}

/** Read who records, what waits and what the device knows of the server. */
export async function readStanding(opened: Disk): Promise<void> {
  const [person, device, token, site, revision, ahead] = await Promise.all([
    single(opened, 'person'),
    single(opened, 'device'),
    single(opened, 'token'),
    single(opened, 'site'),
    single(opened, 'revision'),
    single(opened, 'ahead'),
  ]);
  const [queue, files] = await Promise.all([opened.getAll('queue'), opened.getAllKeys('files')]);
  const unsent = await Promise.all(files.map((sha) => opened.get('files', sha)));
  state.person = person ?? '';
  state.device = device ?? '';
  state.joined = Boolean(token);
  state.site = site ?? '';
  state.revision = revision ?? 0;
  state.ahead = ahead ?? 0;
  state.refused = queue.filter((one) => one.refused !== undefined).length;
  state.queued = queue.length - state.refused;
  state.files = unsent.filter((file) => file && !file.sent).length;
}

/** Return one record as it stands on the disk, within a transaction that writes. */
export async function foldedIn(within: Writing, id: string): Promise<Folded | undefined> {
  const [base, queued] = await Promise.all([within.objectStore('records').get(id), within.objectStore('queue').index('record').getAll(id)]);
  return standing(queued).reduce<Folded | undefined>(applied, base);
}

function standing(queued: readonly Queued[]): Change[] {
  return queued.map((one) => one.change);
}

function byRecord(queue: readonly Queued[]): Map<string, Change[]> {
  const table = new Map<string, Change[]>();
  for (const { record, change } of queue) table.set(record, [...(table.get(record) ?? []), change]);
  return table;
}
