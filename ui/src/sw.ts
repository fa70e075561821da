// The service worker: keeps the app itself, so that it opens without the hub. One store for
// each version, filled whole before it is used; a version changes only when the person says
// so (lib/worker.ts). It never touches /api: what this phone knows of the log is in
// lib/../log/view.ts. It also shows what the hub pushes and logs the answer to that, by way of the
// same outbox as the app. No imports: the browser loads this one file.

/** Files of this version with a hash of each; written in by the build (vite.config.ts). */
declare const __FILES__: [path: string, hash: string][];

interface WorkerEvent extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface Asked extends WorkerEvent {
  request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface Pushed extends WorkerEvent {
  data: { json(): unknown } | null;
}
interface Clicked extends WorkerEvent {
  action: string;
  notification: Notification;
}
interface Page {
  navigate(url: string): Promise<unknown>;
  focus(): Promise<unknown>;
}
const worker = self as unknown as {
  skipWaiting(): Promise<void>;
  registration: {
    showNotification(title: string, options: object): Promise<void>;
    sync?: { register(tag: string): Promise<void> };
  };
  clients: { claim(): Promise<void>; matchAll(of: object): Promise<Page[]>; openWindow(url: string): Promise<unknown> };
  addEventListener(type: 'push', heard: (e: Pushed) => void): void;
  addEventListener(type: 'notificationclick', heard: (e: Clicked) => void): void;
  addEventListener(type: 'sync', heard: (e: WorkerEvent) => void): void;
  addEventListener(type: 'install' | 'activate', heard: (e: WorkerEvent) => void): void;
  addEventListener(type: 'message', heard: (e: WorkerEvent & MessageEvent<unknown>) => void): void;
  addEventListener(type: 'fetch', heard: (e: Asked) => void): void;
};

const files = new Map(__FILES__);
const PAGE = '/index.html';
/** Hash of all the hashes. */
const version = [...files.values()]
  .reduce((sum, h) => Math.imul(sum ^ parseInt(h.slice(0, 8), 16), 16777619) >>> 0, 2166136261)
  .toString(36);
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
  const all = [...files.keys()].filter((path) => !path.endsWith('.wasm')).map(take);
  e.waitUntil(Promise.all(all).then(() => take(CORE).catch(() => undefined)));
});

worker.addEventListener('activate', (e) => {
  const tidy = async (): Promise<void> => {
    for (const name of await caches.keys())
      if (name.startsWith('slowstone-') && name !== STORE) await caches.delete(name);
    await worker.clients.claim();
  };
  e.waitUntil(tidy());
});

worker.addEventListener('message', (e) => {
  if (e.data === 'take over') e.waitUntil(worker.skipWaiting());
});

worker.addEventListener('fetch', (e) => {
  const url = new URL(e.request.url);
  if (
    e.request.method !== 'GET' ||
    url.origin !== location.origin ||
    url.pathname === '/api' ||
    url.pathname.startsWith('/api/')
  )
    return;
  if (files.has(url.pathname) && url.pathname !== PAGE) e.respondWith(kept(url.pathname, e.request));
  else if (e.request.mode === 'navigate') e.respondWith(page(e.request));
});

/** What the hub pushes (crates/remind/src/send.rs). */
interface Note {
  id: string;
  title: string;
  body: string;
  url: string;
  site: string;
  by: string;
  marks: { pour: string; milestone: string }[];
  done: string;
  snooze: string;
}

worker.addEventListener('push', (e) => {
  const note = e.data?.json() as Note | undefined;
  if (!note) return;
  const actions =
    note.marks.length > 0 && note.by
      ? [
          { action: 'done', title: note.done },
          { action: 'snooze', title: note.snooze },
        ]
      : [];
  // The tag is the message: the same one sent twice is shown once.
  e.waitUntil(
    worker.registration.showNotification(note.title, {
      body: note.body,
      tag: note.id,
      icon: '/icon-192.png',
      data: note,
      actions,
      requireInteraction: actions.length > 0,
    }),
  );
});

worker.addEventListener('notificationclick', (e) => {
  const note = e.notification.data as Note;
  e.notification.close();
  e.waitUntil(e.action === 'done' || e.action === 'snooze' ? answer(note, e.action) : look(note.url));
});

async function look(url: string): Promise<void> {
  const page = (await worker.clients.matchAll({ type: 'window' }))[0];
  if (!page) return void (await worker.clients.openWindow(url));
  await page.focus();
  await page.navigate(url).catch(() => undefined);
}

const SNOOZE = 30 * 60_000;
const DIGITS = '0123456789abcdefghjkmnpqrstvwxyz';

/** A name for an entry, as in lib/id.ts. */
function newId(ms: number): string {
  let head = '';
  for (let i = 0, rest = ms; i < 10; i++, rest = Math.floor(rest / 32)) head = DIGITS.charAt(rest % 32) + head;
  return head + [...crypto.getRandomValues(new Uint8Array(16))].map((b) => DIGITS.charAt(b & 31)).join('');
}

/** Logs what was answered from the notification: the same marks as the buttons in the app. */
async function answer(note: Note, what: 'done' | 'snooze'): Promise<void> {
  const at = Date.now();
  const events = note.marks.map((m) => ({
    id: newId(at),
    site: note.site,
    by: note.by,
    at_ms: at,
    kind: 'mark',
    body: {
      pour: m.pour,
      milestone: m.milestone,
      what: what === 'done' ? 'done' : 'snoozed',
      ...(what === 'done' ? {} : { until_ms: at + SNOOZE }),
    },
  }));
  // Kept first, so that a phone without signal loses no answer; then sent.
  await shelf((box) => events.forEach((event) => box.put({ hub: '', at, event })));
  if (!(await sendMarks())) await worker.registration.sync?.register('slowstone-marks').catch(() => undefined);
}

interface Row {
  n: number;
  stream?: object;
  event: { id: string; kind: string };
}

/** Works on the outbox of the app (log/outbox.ts). */
async function shelf(work: (box: IDBObjectStore) => void): Promise<Row[]> {
  const request = indexedDB.open('slowstone');
  const db = await new Promise<IDBDatabase>((done, fail) => {
    // The app makes the stores; where it never ran there is nothing to answer.
    request.onupgradeneeded = () => request.transaction?.abort();
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error ?? new Error('IndexedDB'));
  });
  try {
    return await new Promise<Row[]>((done, fail) => {
      const turn = db.transaction('outbox', 'readwrite', { durability: 'strict' });
      const box = turn.objectStore('outbox');
      work(box);
      const all = box.getAll() as IDBRequest<Row[]>;
      turn.oncomplete = () => done(all.result);
      turn.onabort = () => fail(turn.error ?? new Error('IndexedDB'));
    });
  } finally {
    db.close();
  }
}

/** Sends answers that wait and are in no stream of the app yet. True when none waits any more. */
async function sendMarks(): Promise<boolean> {
  const waiting = (await shelf(() => undefined)).filter((r) => r.event.kind === 'mark' && !r.stream);
  if (waiting.length === 0) return true;
  try {
    const reply = await fetch('/api/events', {
      method: 'POST',
      credentials: 'same-origin',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ events: waiting.map((r) => r.event) }),
    });
    const { taken } = (await reply.json()) as { taken?: string[] };
    const gone = new Set(taken ?? []);
    await shelf((box) => waiting.filter((r) => gone.has(r.event.id)).forEach((r) => box.delete(r.n)));
    return waiting.every((r) => gone.has(r.event.id));
  } catch {
    return false;
  }
}

worker.addEventListener('sync', (e) => e.waitUntil(sendMarks()));
