/** The last answer to each question, kept on the device, so that what was seen once can be seen again out of reach. */

const NAME = 'baulk answers';
const MOST = 500;
/** Without these no place opens. */
const ALWAYS = ['site', 'units', 'fields', 'cautions'].map(addressOf);
const SEEN = 'x-seen-at';

/** Questions that the page answers from what was kept, each with when the server gave it. */
let old = $state.raw<ReadonlyMap<string, number>>(new Map());
let kept = 0;

/** Return when the oldest of the answers in view was given; undefined when all are fresh. Read in markup it is followed. */
export function oldestInView(): number | undefined {
  return old.size > 0 ? Math.min(...old.values()) : undefined;
}

/** Begin a new view, in which nothing has been answered yet. */
export function newView(): void {
  if (old.size > 0) old = new Map();
}

/** Keep an answer; without room for it the page goes on. */
export async function keepAnswer(path: string, answer: Response): Promise<void> {
  if (old.has(path)) old = new Map([...old].filter(([one]) => one !== path));
  if (!('caches' in globalThis)) return;
  try {
    const headers = new Headers({ 'content-type': answer.headers.get('content-type') ?? '', [SEEN]: String(Date.now()) });
    const cache = await caches.open(NAME);
    await cache.put(addressOf(path), new Response(await answer.blob(), { headers }));
    kept += 1;
    if (kept % 50 === 0) await prune(cache);
  } catch {
    // no room: the answer itself is shown all the same
  }
}

/** Return the answer kept for a question. */
export async function keptAnswer(path: string): Promise<Response | undefined> {
  if (!('caches' in globalThis)) return undefined;
  return (await caches.open(NAME)).match(addressOf(path)).catch(() => undefined);
}

/** Say that a kept answer is what the page shows. */
export function showKept(path: string, answer: Response): void {
  old = new Map([...old, [path, Number(answer.headers.get(SEEN) ?? 0)]]);
}

/** Forget every answer, as when another person or another site is joined. */
export async function forgetAnswers(): Promise<void> {
  newView();
  if ('caches' in globalThis) await caches.delete(NAME);
}

async function prune(cache: Cache): Promise<void> {
  const all = (await cache.keys()).filter((one) => !ALWAYS.includes(new URL(one.url).pathname));
  await Promise.all(all.slice(0, Math.max(0, all.length - MOST)).map((one) => cache.delete(one)));
}

function addressOf(path: string): string {
  return `/api/${path}`;
}
