/** The one loop that sends what waits and fetches what others wrote, while the server is in reach. */

import { Refusal } from '../api/client.ts';
import { wordsOf } from '../api/refusal_words.ts';
import { fetchRecords } from './fetching.ts';
import { putClockRight } from './clock.ts';
import { keepSingle, single } from './disk.ts';
import { disk, readStanding } from './memory.ts';
import { refillBlocks } from './numbers.ts';
import { onWritten } from './pen.ts';
import { joinAgain, otherSite, serverSays } from './said.ts';
import { sendChanges } from './sending.ts';
import * as server from './server.ts';
import { say, state, unsay } from './state.svelte.ts';
import { watchStorage } from './storage.ts';
import { hear, leadAlone, tell } from './tabs.ts';
import { fetchThumbs } from './thumbs.ts';
import { sendFiles } from './uploading.ts';

const EVERY_MS = 5_000;
const AWAY_MS = 60_000;

/** Whether something came to wait while a round was on its way; it is then followed by another at once. */
let late = false;
const noteLate = (): void => {
  late = true;
};
let rouse = noteLate;
let leads = false;
/** The token that the server turned away; with another one it is asked again. */
let refusedToken = '';

/** Begin the loop in one tab of this device. */
export function beginSync(): void {
  onWritten(() => sendNow());
  hear((what) => {
    if (what.send) rouse();
    if (what.reach && !leads) Object.assign(state, what.reach);
  });
  addEventListener('online', () => sendNow());
  addEventListener('offline', () => {
    state.online = false;
  });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') sendNow();
  });
  leadAlone(async () => {
    leads = true;
    for (;;) {
      const wait = await round();
      tell({ reach: { online: state.online, seen: state.seen, sending: false, said: state.said } });
      await roused(wait);
    }
  });
}

/** Send and fetch at once, in whichever tab does it. */
export function sendNow(): void {
  rouse();
  tell({ send: true });
}

/** Go once through everything; returns how long to rest. */
async function round(): Promise<number> {
  try {
    const opened = await disk();
    const token = await single(opened, 'token');
    if (!token) return EVERY_MS;
    if (token === refusedToken) return AWAY_MS;
    const began = Date.now();
    const hello = await server.hello();
    unsay('join again');
    if (!(await sameSite(hello))) return AWAY_MS;
    await putClockRight(hello.now - (began + Date.now()) / 2);
    Object.assign(state, { online: true, seen: Date.now() });
    state.sending = state.queued + state.files > 0;
    const sent = await sendChanges();
    if (sent > 0 || hello.revision !== state.revision) await fetchRecords();
    await refillBlocks();
    await sendFiles();
    await watchStorage();
    void fetchThumbs(); // in the background: what a person wrote is sent first, and does not wait for it
    unsay('server');
    return EVERY_MS;
  } catch (refusal) {
    return await turned(refusal);
  } finally {
    state.sending = false;
  }
}

async function turned(refusal: unknown): Promise<number> {
  if (server.turnedAway(refusal)) {
    refusedToken = (await single(await disk(), 'token')) ?? '';
    Object.assign(state, { online: true, seen: Date.now() });
    say(joinAgain(refusal.message));
    return AWAY_MS;
  }
  if (server.outOfReach(refusal)) state.online = false;
  else {
    Object.assign(state, { online: refusal instanceof Refusal, seen: Date.now() });
    say(serverSays(wordsOf(refusal)));
  }
  return EVERY_MS;
}

async function sameSite(hello: server.Hello): Promise<boolean> {
  if (state.site && state.site !== hello.site) {
    say(otherSite());
    return false;
  }
  unsay('other site');
  if (!state.site) await keepSingle(await disk(), { site: hello.site });
  state.site = hello.site;
  return true;
}

/** Rest until the time is over or something waits. */
function roused(milliseconds: number): Promise<void> {
  return new Promise((resolve) => {
    const go = (): void => {
      rouse = noteLate;
      resolve();
    };
    const timer = setTimeout(go, milliseconds);
    rouse = () => {
      clearTimeout(timer);
      setTimeout(go, 100); // what is typed right after goes along
    };
    if (late) rouse();
    late = false;
  });
}

/** Read the standing anew after joining, and try again at once. */
export async function joinedAgain(): Promise<void> {
  refusedToken = '';
  unsay('join again');
  await readStanding(await disk());
  sendNow();
}
