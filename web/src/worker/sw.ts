/**
 * The service worker: keeps the page itself on the device, so that it opens without a network. It holds no part of the record and no
 * queue: those lie in the device's own store, which no update of the page touches.
 */

interface ShellList {
  readonly version: string;
  readonly files: readonly string[];
}

interface Lasting extends Event {
  waitUntil(work: Promise<unknown>): void;
}

interface Asked extends Event {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}

interface Worker {
  addEventListener(type: 'install' | 'activate', listener: (event: Lasting) => void): void;
  addEventListener(type: 'fetch', listener: (event: Asked) => void): void;
  addEventListener(type: 'message', listener: (event: MessageEvent<unknown>) => void): void;
  skipWaiting(): Promise<void>;
  readonly clients: { claim(): Promise<void> };
  readonly location: Location;
}

const worker = globalThis as unknown as Worker;
/** Written here when the page is built: its files and a mark of their contents. */
const SHELL = JSON.parse('__SHELL__') as ShellList;
const FAMILY = 'baulk page ';
const NAME = FAMILY + SHELL.version;

worker.addEventListener('install', (event) => {
  event.waitUntil(caches.open(NAME).then((cache) => cache.addAll(SHELL.files.map((file) => new Request(file, { cache: 'no-cache' })))));
});

worker.addEventListener('activate', (event) => {
  event.waitUntil(dropOthers().then(() => worker.clients.claim()));
});

worker.addEventListener('message', (event) => {
  if (event.data === 'take over') void worker.skipWaiting();
});

worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== 'GET' || origin !== worker.location.origin || pathname.startsWith('/api/')) return;
  if (request.mode === 'navigate') event.respondWith(kept('/', request));
  else if (SHELL.files.includes(pathname)) event.respondWith(kept(pathname, request));
});

async function kept(path: string, request: Request): Promise<Response> {
  const found = await (await caches.open(NAME)).match(path);
  return found ?? fetch(request);
}

async function dropOthers(): Promise<void> {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(FAMILY) && name !== NAME).map((name) => caches.delete(name)));
}
