/** What waits on this device, as a list, and as a file for the case that no network ever comes. */

import { sync } from '../strings/sync.ts';
import type { Change } from './change.ts';
import { writing } from './disk.ts';
import { hashOf } from './files.ts';
import type { Folded } from './fold.ts';
import { disk, readAgain, readStanding } from './memory.ts';
import { sawTime, wake } from './pen.ts';
import { state } from './state.svelte.ts';
import { tell } from './tabs.ts';

/** One entry that waits, the latest first in a list of them. */
export interface Waiting {
  readonly change: Change;
  readonly refused: string | undefined;
}

const FORM = 'baulk waiting changes';

/** Return the entries that wait, latest first. */
export async function waiting(): Promise<Waiting[]> {
  const queue = await (await disk()).getAll('queue');
  return queue.reverse().map((one) => ({ change: one.change, refused: one.refused }));
}

/** Return everything that waits as one file: a line of head, a line a change, a line a file. */
export async function saveWaiting(): Promise<{ name: string; blob: Blob }> {
  const opened = await disk();
  const queue = await opened.getAll('queue');
  const parts: BlobPart[] = [line({ form: FORM, version: 1, site: state.site, person: state.person, device: state.device })];
  for (const { change } of queue) parts.push(line({ change }));
  for (const sha of await opened.getAllKeys('files')) {
    const file = await opened.get('files', sha);
    if (file && !file.sent) parts.push(new Blob([line({ file: sha, type: file.blob.type, bytes: await base64(file.blob) })]));
  }
  const day = new Date().toISOString().slice(0, 10);
  const name = `baulk-${[state.device, day].join('-').replace(/[^A-Za-z0-9-]+/g, '_')}.waiting`;
  return { name, blob: new Blob(parts, { type: 'application/x-ndjson' }) };
}

/** Take the entries of such a file into this device's queue, as they were written; returns how many were new. */
export async function takeIn(file: Blob): Promise<number> {
  const lines = (await file.text()).split('\n').filter(Boolean);
  const [head, ...rest] = lines.map(parsed);
  if (head?.['form'] !== FORM) throw new Error(sync.notWaiting);
  if (state.site && head['site'] && head['site'] !== state.site) throw new Error(sync.waitingOfOther);
  const changes = rest.map((one) => one['change']).filter(isChange);
  const files = await Promise.all(rest.filter((one) => typeof one['file'] === 'string').map(fileOf));
  if (changes.length + files.length !== rest.length) throw new Error(sync.notWaiting);
  return await put(changes, files);
}

async function put(changes: readonly Change[], files: readonly { sha256: string; blob: Blob }[]): Promise<number> {
  const opened = await disk();
  const within = writing(opened, ['records', 'queue', 'files', 'single']);
  let fresh = 0;
  for (const change of changes) {
    if (await within.objectStore('queue').index('change').getKey(change.id)) continue;
    if (holds(await within.objectStore('records').get(change.record), change)) continue;
    void within.objectStore('queue').add({ change, record: change.record });
    fresh += 1;
  }
  for (const { sha256, blob } of files) {
    if (!(await within.objectStore('files').getKey(sha256))) void within.objectStore('files').put({ sha256, blob, bytes: blob.size, sent: false });
  }
  await sawTime(within, changes.map((change) => change.time));
  await within.done;
  const ids = [...new Set(changes.map((change) => change.record))];
  await readAgain(ids);
  await readStanding(opened);
  tell({ changed: ids, send: true });
  wake();
  return fresh;
}

/** Tell whether the base holds a change already, in view or replaced since. */
function holds(base: Folded | undefined, { id }: Change): boolean {
  if (!base) return false;
  return Object.values(base.fields).some((heads) => heads.some((head) => head.change === id)) || Object.values(base.replaced).some((ids) => ids.includes(id));
}

async function fileOf(one: Readonly<Record<string, unknown>>): Promise<{ sha256: string; blob: Blob }> {
  const bytes = Uint8Array.from(atob(String(one['bytes'])), (mark) => mark.charCodeAt(0));
  const blob = new Blob([bytes], { type: String(one['type'] ?? '') });
  const sha256 = await hashOf(blob);
  if (sha256 !== one['file']) throw new Error(sync.notWaiting);
  return { sha256, blob };
}

function line(what: unknown): string {
  return `${JSON.stringify(what)}\n`;
}

function parsed(text: string): Readonly<Record<string, unknown>> {
  try {
    return JSON.parse(text) as Record<string, unknown>;
  } catch {
    throw new Error(sync.notWaiting);
  }
}

function isChange(found: unknown): found is Change {
  if (typeof found !== 'object' || found === null) return false;
  const change = found as Record<string, unknown>;
  return ['id', 'time', 'device', 'person', 'kind', 'record'].every((name) => typeof change[name] === 'string' && change[name] !== '');
}

async function base64(blob: Blob): Promise<string> {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let marks = '';
  for (let at = 0; at < bytes.length; at += 8192) marks += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return btoa(marks);
}
