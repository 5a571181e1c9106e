/** Small pictures of the photos of the record, fetched while the server is in reach, so that a photo can be told out of reach. */

import { writing } from './disk.ts';
import { disk } from './memory.ts';
import { all } from './records.svelte.ts';
import { outOfReach, smallPicture, turnedAway } from './server.ts';
import { state } from './state.svelte.ts';
import { shortOf } from './storage.ts';

/** The most that a device holds; of more photos the latest are held. */
const MOST = 1_500;
const MOST_BYTES = 40_000_000;
/** Between two looks at how much room is left. */
const LOOK_EVERY = 20;

/** All is gone through again after this, though the record is the same: for photos that another device had still to send. */
const AGAIN_MS = 120_000;
/** How often a file is asked for of which there is no small picture. */
const TRIES = 5;

let running = false;
/** The base that was gone through to its end, and when it is to be gone through again all the same. */
let done = { revision: -1, again: 0 };
/** How often the server had no small picture of a file. */
const failed = new Map<string, number>();

/** Bring the small pictures up to the record: those of photos that are no longer here go, missing ones are fetched, the latest first. */
export async function fetchThumbs(): Promise<void> {
  if (running || (done.revision === state.revision && Date.now() < done.again)) return;
  running = true;
  try {
    const { revision } = state;
    if (await broughtUp()) done = { revision, again: Date.now() + AGAIN_MS };
  } catch {
    // no room or no disk: the record goes on without pictures, and the next round tries again
  } finally {
    running = false;
  }
}

/** Return whether nothing is left to fetch; it stops when the record has changed, since what is shown may have. */
async function broughtUp(): Promise<boolean> {
  const [opened, { revision }] = [await disk(), state];
  const wanted = wantedNow();
  const standing = await drop(new Set(wanted));
  let { bytes } = standing;
  const missing = wanted.filter((sha) => !standing.held.has(sha) && (failed.get(sha) ?? 0) < TRIES);
  for (const [at, sha] of missing.entries()) {
    if (bytes >= MOST_BYTES) return true;
    if (at % LOOK_EVERY === 0 && (await shortOf()) !== undefined) return false;
    if (await opened.getKey('files', sha)) continue; // taken on this device, and still here whole
    const blob = await fetched(sha);
    if (blob === 'stop' || state.revision !== revision) return false;
    if (blob === undefined) continue;
    const within = writing(opened, ['thumbs']);
    void within.objectStore('thumbs').put({ sha256: sha, blob, bytes: blob.size });
    await within.done;
    bytes += blob.size;
  }
  return true;
}

/** Return the files of the photos that this device holds, the latest photo first. */
function wantedNow(): string[] {
  const photos = [...all('photo')].filter((one) => !one.withheld).sort((one, other) => (one.id < other.id ? 1 : -1));
  const files = photos.map((one) => one.values['file']).filter((sha) => typeof sha === 'string');
  return [...new Set(files)].slice(0, MOST);
}

/** Drop what is not wanted; returns what is still held, and its bytes. */
async function drop(wanted: ReadonlySet<string>): Promise<{ held: Set<string>; bytes: number }> {
  const within = writing(await disk(), ['thumbs']);
  const store = within.objectStore('thumbs');
  const held = new Set<string>();
  let bytes = 0;
  for (let at = await store.openCursor(); at; at = await at.continue()) {
    if (wanted.has(at.key)) {
      held.add(at.key);
      bytes += at.value.bytes;
    } else void store.delete(at.key);
  }
  await within.done;
  return { held, bytes };
}

/** Return a small picture; nothing when there is none of it, and `stop` when asking on is of no use now. */
async function fetched(sha: string): Promise<Blob | 'stop' | undefined> {
  try {
    const blob = await smallPicture(sha);
    failed.delete(sha);
    return blob;
  } catch (refusal) {
    if (outOfReach(refusal) || turnedAway(refusal)) return 'stop';
    failed.set(sha, (failed.get(sha) ?? 0) + 1);
    return undefined;
  }
}
