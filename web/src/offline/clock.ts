/** A device's clock that is wrong is said, and put right in every time that is written. */

import { sync } from '../strings/sync.ts';
import { keepSingle } from './disk.ts';
import { disk } from './memory.ts';
import { clockOff } from './said.ts';
import { say, state, unsay } from './state.svelte.ts';

/** Less than the way to the server and back may take is no fault of the clock. */
const NOTICED_MS = 2_000;
const SAID_MS = 120_000;

/** Take note of by how many milliseconds the server's clock is ahead. */
export async function putClockRight(measured: number): Promise<void> {
  const ahead = Math.abs(measured) < NOTICED_MS ? 0 : Math.round(measured);
  if (Math.abs(ahead - state.ahead) >= NOTICED_MS || (ahead === 0) !== (state.ahead === 0)) {
    await keepSingle(await disk(), { ahead });
    state.ahead = ahead;
  }
  if (Math.abs(ahead) > SAID_MS) say(clockOff(sync.span(Math.abs(ahead)), ahead < 0));
  else unsay('clock');
}
