// The service worker: keeps the app itself, so that it opens without the hub. One store for
// each version, filled whole before it is used; a version changes only when the person says
// so (lib/worker.ts). It never touches /api: what this phone knows of the log is in
// lib/offline.ts. No imports: the browser loads this one file.

/** Files of this version with a hash of each; written in by the build (vite.config.ts). */
declare const __FILES__: [path: string, hash: string][];

interface WorkerEvent extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface Asked extends WorkerEvent {
  request: Request;
  respondWith(answer: Promise<Response>): void;
}
const worker = self as unknown as {
  skipWaiting(): Promise<void>;
  clients: { claim(): Promise<void> };
  addEventListener(type: 'install' | 'activate', heard: (e: WorkerEvent) => void): void;
  addEventListener(type: 'message', heard: (e: WorkerEvent & MessageEvent<unknown>) => void): void;
  addEventListener(type: 'fetch', heard: (e: Asked) => void): void;
};

const files = new Map(__FILES__);
const PAGE = '/index.html';
/** Hash of all the hashes. */
const version = [...files.values()].reduce((sum, h) => Math.imul(sum ^ parseInt(h.slice(0, 8), 16), 16777619) >>> 0, 2166136261).toString(36);
const STORE = `slowstone-${version}`;
/** What reckons without the hub: large, and not needed to open; later if it cannot be had now. */
const CORE = '/core.wasm';

/** Every file is kept under its path and its hash, so that a new version takes over the same ones. */
const named = (path: string): string => `${path}?${files.get(path) ?? ''}`;

async function take(path: string): Promise<void> {
  const store = await caches.open(STORE);
  const have = await caches.match(named(path));
  const answer = have ?? (await fetch(path, { cache: 'no-cache' }));
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  await store.put(named(path), answer);
}

async function kept(path: string, request: Request): Promise<Response> {
  const have = await caches.match(named(path));
  if (have) return have;
  const answer = await fetch(request);
  if (answer.ok) await (await caches.open(STORE)).put(named(path), answer.clone());
  return answer;
}

/** The page; an address that lets this browser in has to reach the hub. */
async function page(request: Request): Promise<Response> {
  const shell = (): Promise<Response> => kept(PAGE, new Request(PAGE));
  if (!new URL(request.url).searchParams.has('t')) return shell();
  try {
    const answer = await fetch(request);
    // The page says in words that this browser is not let in.
    return answer.status === 401 ? await shell() : answer;
  } catch {
    return shell();
  }
}

worker.addEventListener('install', (e) => {
  // The desk (desk.wasm) is fetched by who asks for it.
  const all = [...files.keys()].filter((path) => !path.endsWith('.wasm')).map(take);
  e.waitUntil(Promise.all(all).then(() => take(CORE).catch(() => undefined)));
});

worker.addEventListener('activate', (e) => {
  const tidy = async (): Promise<void> => {
    for (const name of await caches.keys()) if (name.startsWith('slowstone-') && name !== STORE) await caches.delete(name);
    await worker.clients.claim();
  };
  e.waitUntil(tidy());
});

worker.addEventListener('message', (e) => {
  if (e.data === 'take over') e.waitUntil(worker.skipWaiting());
});

worker.addEventListener('fetch', (e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== 'GET' || url.origin !== location.origin || url.pathname === '/api' || url.pathname.startsWith('/api/')) return;
  if (files.has(url.pathname) && url.pathname !== PAGE) e.respondWith(kept(url.pathname, e.request));
  else if (e.request.mode === 'navigate') e.respondWith(page(e.request));
});
