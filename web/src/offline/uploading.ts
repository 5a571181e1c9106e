/** Sends files piece by piece; after a cut the next piece begins where the server says that it holds. */

import { writing, type KeptFile } from './disk.ts';
import { disk, readStanding } from './memory.ts';
import { lostFile } from './said.ts';
import { upload, uploadOf } from './server.ts';
import { say, state, unsay } from './state.svelte.ts';

const PIECE_BYTES = 1_000_000;

/** Send every file that the server does not hold whole. */
export async function sendFiles(): Promise<void> {
  if (state.files === 0) return;
  const opened = await disk();
  for (const sha of await opened.getAllKeys('files')) {
    const file = await opened.get('files', sha);
    if (!file || file.sent) continue;
    if (await sendWhole(file)) {
      const within = writing(opened, ['files']);
      void within.objectStore('files').put({ ...file, sent: true });
      await within.done;
      unsay(`file ${sha}`);
      await readStanding(opened);
    } else {
      say(lostFile(sha)); // it is thrown away there and sent anew in the next round
    }
  }
}

async function sendWhole({ sha256, blob, bytes }: KeptFile): Promise<boolean> {
  let { held, whole } = await uploadOf(sha256);
  while (!whole) {
    const before = held;
    ({ held, whole } = await upload(sha256, held, bytes, blob.slice(held, held + PIECE_BYTES)));
    if (!whole && held <= before) return false;
  }
  return true;
}
