/** Sends the queue in pieces; what the server keeps moves from the queue into the base in one transaction. */

import type { Change } from './change.ts';
import { writing, type Queued, type Writing } from './disk.ts';
import { applied } from './fold.ts';
import { disk, readAgain, readStanding } from './memory.ts';
import { noted, refused } from './said.ts';
import { giveChanges, type Taken } from './server.ts';
import { say, state, unsay } from './state.svelte.ts';
import { tell } from './tabs.ts';

const MOST_AT_ONCE = 200;
const MOST_LETTERS = 400_000;

/** Send all that waits; returns how many changes the server took. */
export async function sendChanges(): Promise<number> {
  const opened = await disk();
  let sent = 0;
  for (;;) {
    const piece = pieceOf((await opened.getAll('queue')).filter((one) => one.refused === undefined));
    if (piece.length === 0) break;
    const taken = await giveChanges(piece.map((one) => one.change));
    const settled = await putAway(piece, taken);
    sent += taken.kept.length;
    if (settled === 0) break; // the server said nothing of any of them: they stay, and are tried again later
  }
  await readStanding(opened);
  if (state.refused > 0) say(refused(state.refused));
  else unsay('refused');
  return sent;
}

/** Try again what the server refused. */
export async function tryRefused(): Promise<void> {
  const within = writing(await disk(), ['queue']);
  for (let at = await within.objectStore('queue').openCursor(); at; at = await at.continue()) {
    const { refused: reason, ...waiting } = at.value;
    if (reason !== undefined) void at.update(waiting);
  }
  await within.done;
}

function pieceOf(waiting: readonly Queued[]): Queued[] {
  const piece: Queued[] = [];
  let letters = 0;
  for (const one of waiting.slice(0, MOST_AT_ONCE)) {
    letters += JSON.stringify(one.change).length;
    if (piece.length > 0 && letters > MOST_LETTERS) break;
    piece.push(one);
  }
  return piece;
}

async function putAway(piece: readonly Queued[], taken: Taken): Promise<number> {
  const kept = new Set(taken.kept);
  const reasons = new Map((taken.refused ?? []).map(({ change, message }) => [change, message]));
  const within = writing(await disk(), ['queue', 'records']);
  const settled: Change[] = [];
  for (const one of piece) {
    const reason = reasons.get(one.change.id);
    if (kept.has(one.change.id)) await intoBase(within, one);
    else if (reason !== undefined) void within.objectStore('queue').put({ ...one, refused: reason });
    else continue;
    settled.push(one.change);
  }
  await within.done;
  for (const { message } of taken.notes) say(noted(message));
  const ids = [...new Set(settled.map((change) => change.record))];
  await readAgain(ids);
  tell({ changed: ids });
  return settled.length;
}

async function intoBase(within: Writing, { place, change }: Queued): Promise<void> {
  const records = within.objectStore('records');
  void records.put(applied(await records.get(change.record), change));
  if (place !== undefined) void within.objectStore('queue').delete(place);
}
