/** Photos and other files on the device's own disk, found by their SHA-256, until and after the server holds them. */

import { file } from '../api/client.ts';
import { writing } from './disk.ts';
import { disk, readStanding } from './memory.ts';
import { wake } from './pen.ts';
import { NotKept } from './refusals.ts';
import { state } from './state.svelte.ts';
import { tell } from './tabs.ts';

const shown = new Map<string, string>();
/** How long the whole picture is waited for while the server seems out of reach and a small one is here. */
const PATIENCE_MS = 3_000;

/** Keep a file on the device's disk and queue it to be sent; when it resolves the file is on the disk. */
export async function keepFile(blob: Blob): Promise<{ sha256: string; bytes: number }> {
  const sha256 = await hashOf(blob);
  const opened = await disk();
  try {
    const within = writing(opened, ['files']);
    const known = await within.objectStore('files').get(sha256);
    if (!known) void within.objectStore('files').put({ sha256, blob, bytes: blob.size, sent: false });
    await within.done;
  } catch (cause) {
    throw new NotKept(cause);
  }
  await readStanding(opened);
  tell({ standing: true, send: true });
  wake();
  return { sha256, bytes: blob.size };
}

/** Return a kept file: from this device when it is here, else from the server. */
export async function fileBlob(sha: string): Promise<Blob> {
  const here = await (await disk()).get('files', sha);
  return here?.blob ?? (await file(sha));
}

/** Return an address under which a page can show a file: from this device when it is here, else from the server. */
export async function fileUrl(sha: string): Promise<string> {
  const known = shown.get(sha);
  if (known) return known;
  const blob = await fileBlob(sha);
  const address = URL.createObjectURL(blob);
  shown.set(sha, address);
  return address;
}

/** A picture that a page can show: whole, or small as this device holds it. */
export interface Shown {
  readonly address: string;
  readonly small: boolean;
}

/** Return the picture of a photo: whole from this device or the server, else the small one that this device holds. */
export async function pictureOf(sha: string): Promise<Shown> {
  const whole = fileUrl(sha).then((address) => ({ address, small: false }));
  const held = await (await disk()).get('thumbs', sha);
  if (!held) return whole;
  const small = (): Shown => ({ address: URL.createObjectURL(held.blob), small: true });
  const waited = whole.catch(small);
  return state.online ? waited : Promise.race([waited, rested(PATIENCE_MS).then(small)]);
}

function rested(milliseconds: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, milliseconds));
}

/** Return the SHA-256 of a file, 64 digits of base 16. */
export async function hashOf(blob: Blob): Promise<string> {
  const digest = await crypto.subtle.digest('SHA-256', await blob.arrayBuffer());
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
