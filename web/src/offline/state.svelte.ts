/** How this device stands, followed by the page: who records, what waits, whether the server is in reach, and what is to be said. */

import type { Notice } from './notices.ts';

interface State {
  ready: boolean;
  joined: boolean;
  person: string;
  device: string;
  site: string;
  online: boolean;
  queued: number;
  refused: number;
  files: number;
  revision: number;
  /** Milliseconds by which the server's clock is ahead of this device's. */
  ahead: number;
  /** When the server last answered, in milliseconds of this device; 0 before. */
  seen: number;
  sending: boolean;
  said: readonly Notice[];
}

export const state: State = $state({
  ready: false,
  joined: false,
  person: '',
  device: '',
  site: '',
  online: false,
  queued: 0,
  refused: 0,
  files: 0,
  revision: 0,
  ahead: 0,
  seen: 0,
  sending: false,
  said: [],
});

/** Say something to the person, in place of what was said under the same mark. */
export function say(notice: Notice): void {
  state.said = [...state.said.filter((one) => one.id !== notice.id), notice];
}

/** Say it no longer. */
export function unsay(id: string): void {
  if (state.said.some((one) => one.id === id)) state.said = state.said.filter((one) => one.id !== id);
}
