/** The tabs of one device: each hears of what another wrote, and one of them does the sending. */

import type { Notice } from './notices.ts';

interface Heard {
  /** Ids of records that were changed on the disk. */
  readonly changed?: readonly string[];
  /** Whether single values or counts changed. */
  readonly standing?: boolean;
  /** Whether something waits to be sent. */
  readonly send?: boolean;
  /** How the tab that sends finds the server. */
  readonly reach?: { online: boolean; seen: number; sending: boolean; said: readonly Notice[] };
}

const channel = 'BroadcastChannel' in globalThis ? new BroadcastChannel('baulk device') : undefined;

/** Tell the other tabs. */
export function tell(what: Heard): void {
  channel?.postMessage(JSON.parse(JSON.stringify(what)) as Heard); // followed values cannot be sent as they are
}

/** Hear what the other tabs tell. */
export function hear(listener: (what: Heard) => void): void {
  channel?.addEventListener('message', (event: MessageEvent<Heard>) => listener(event.data));
}

/** Run `lead` in one tab of this device at a time; when that tab goes, the next takes over. */
export function leadAlone(lead: () => Promise<void>): void {
  // without locks (an address that the browser does not trust) each tab sends: the server takes a change only once
  if (!('locks' in navigator)) void lead();
  else void navigator.locks.request('baulk sending', lead);
}
