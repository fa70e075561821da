// The only way to the hub: asks for views, logs events, sends photos, watches for changes.
// An event is put on the shelf first and taken off when the hub has answered, so a lost
// connection or a closed browser loses nothing. Screens never call `fetch` themselves.

import { app, type DueNote } from './app.svelte';
import { newId } from './id';
import { Queue } from './queue';
import type { Event, EventError, Kind, Photo } from './types.gen';
import { t } from './words';

/** An answer that was no success. */
export class ApiError extends Error {
  constructor(
    readonly status: number,
    readonly code: string,
    text: string,
    readonly field = '',
  ) {
    super(text);
  }
}

const memory = new Map<string, string>();
const shelf = {
  getItem: (k: string): string | null => {
    try {
      return localStorage.getItem(k);
    } catch {
      return memory.get(k) ?? null;
    }
  },
  setItem: (k: string, v: string): void => localStorage.setItem(k, v),
};

export const queue = new Queue(shelf);

function count(): void {
  app.waiting = queue.all().length;
  app.refused = queue.refused();
}

async function call(path: string, init?: RequestInit): Promise<Response> {
  let answer: Response;
  try {
    answer = await fetch(path, { credentials: 'same-origin', ...init });
  } catch {
    app.reached = false;
    throw new ApiError(0, 'unreachable', t('error-unreachable'));
  }
  app.reached = true;
  app.locked = answer.status === 401;
  return answer;
}

async function failure(answer: Response): Promise<ApiError> {
  try {
    const { error } = (await answer.json()) as { error: { code: string; text: string; field?: string } };
    return new ApiError(answer.status, error.code, error.text, error.field ?? '');
  } catch {
    return new ApiError(answer.status, 'http', t('error-http', { status: answer.status }));
  }
}

/** A view of the hub. */
export async function get<T>(path: string): Promise<T> {
  const answer = await call(path);
  if (!answer.ok) throw await failure(answer);
  return (await answer.json()) as T;
}

/** What became of logged events. */
export interface Sent {
  /** `saved`: the hub has them. `kept`: on this device, not yet sent. `refused`: see errors. */
  how: 'saved' | 'kept' | 'refused';
  errors: EventError[];
}

let running: Promise<EventError[]> = Promise.resolve([]);

/** Sends what waits. Returns refusals; throws when the hub is not reached or is in trouble. */
function drain(mine: Set<string>): Promise<EventError[]> {
  running = running.catch(() => []).then(() => drainNow(mine));
  return running;
}

async function drainNow(mine: Set<string>): Promise<EventError[]> {
  const mineRefused: EventError[] = [];
  for (let events = queue.next(); events.length > 0; events = queue.next()) {
    const answer = await call('/api/events', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ events }),
    });
    if (answer.status !== 200 && answer.status !== 422) throw await failure(answer);
    const { taken, refused } = (await answer.json()) as { taken: string[]; refused: EventError[] };
    const out = new Map(refused.map((r) => [r.event, r]));
    const cause = refused[0];
    const orphans = queue.hanging([...out.keys()]).filter((e) => !out.has(e.id));
    const lost = [...events.filter((e) => out.has(e.id)), ...orphans];
    queue.setAside(
      lost.filter((e) => !mine.has(e.id)).flatMap((event) => {
        const error = out.get(event.id) ?? cause;
        return error ? [{ event, error }] : [];
      }),
    );
    mineRefused.push(...refused.filter((r) => mine.has(r.event)));
    const done = [...taken, ...lost.map((e) => e.id)];
    if (done.length === 0) throw new ApiError(answer.status, 'odd', t('error-http', { status: answer.status }));
    queue.drop(done);
    count();
  }
  return mineRefused;
}

/** An event that is not named yet. */
export interface Draft {
  id?: string;
  site?: string;
  kind: Kind;
  body: object;
}

/** A fresh id. */
export const freshId = (): string => newId(Date.now());

/**
 * Logs events. Null when the person did not give a name. "Saved" means that the hub has
 * answered; otherwise they are kept and sent later.
 */
export async function log(site: string, drafts: Draft[]): Promise<Sent | null> {
  const by = await app.whoIs();
  if (!by) return null;
  const events: Event[] = drafts.map((d) => ({
    id: d.id ?? freshId(),
    site: d.site ?? site,
    by,
    at_ms: Date.now(),
    kind: d.kind,
    body: JSON.parse(JSON.stringify(d.body)) as Record<string, unknown>,
  }));
  try {
    queue.add(events);
  } catch {
    return { how: 'refused', errors: [{ event: '', field: '', value: '', why: t('error-shelf') }] };
  }
  count();
  try {
    const errors = await drain(new Set(events.map((e) => e.id)));
    changed(site);
    return { how: errors.length > 0 ? 'refused' : 'saved', errors };
  } catch (e) {
    if (e instanceof ApiError && e.status !== 0) app.say(e.message, true);
    return { how: 'kept', errors: [] };
  }
}

/** Logs events and says in a short message what became of them. True unless refused. */
export async function logAndSay(site: string, drafts: Draft[], words = t('said-saved'), canUndo = false): Promise<boolean> {
  const named = drafts.map((d) => ({ ...d, id: d.id ?? freshId() }));
  const sent = await log(site, named);
  if (!sent) return false;
  const first = named[0]?.id;
  const undo = canUndo && first ? (): void => void takeBack(site, first) : null;
  if (sent.how === 'saved') app.say(words, false, undo);
  if (sent.how === 'kept') app.say(t('said-kept'), true, undo);
  for (const e of sent.errors) app.say(t('said-refused', { field: t(`f-${e.field}`), why: e.why }), true);
  return sent.how !== 'refused';
}

/** Takes an entry back and offers to undo that. True unless it was refused. */
export async function takeBack(site: string, target: string, words = t('rec-taken-back')): Promise<boolean> {
  const id = freshId();
  const sent = await log(site, [{ id, kind: 'retraction', body: { target } }]);
  if (!sent) return false;
  for (const e of sent.errors) app.say(t('said-refused', { field: t(`f-${e.field}`), why: e.why }), true);
  if (sent.how === 'refused') return false;
  const undo = (): void => void logAndSay(site, [{ kind: 'retraction', body: { target: id } }], t('what-restored'));
  app.say(sent.how === 'saved' ? words : t('said-kept'), sent.how === 'kept', undo);
  return true;
}

/** What the hub said about a photo. */
export interface PhotoTaken {
  event: string;
  photo: Photo;
  said: string;
  known: boolean;
}

/** Sends one picture as it is. */
export async function sendPhoto(site: string, file: File, pour: string | null, id: string): Promise<PhotoTaken> {
  const by = await app.whoIs();
  if (!by) throw new ApiError(0, 'name', t('error-name'));
  const q = new URLSearchParams({ name: file.name, by, id });
  if (pour) q.set('pour', pour);
  const answer = await call(`/api/sites/${site}/photos?${q}`, {
    method: 'POST',
    body: file,
    headers: { 'content-type': file.type || 'application/octet-stream' },
  });
  if (!answer.ok) throw await failure(answer);
  changed(site);
  return (await answer.json()) as PhotoTaken;
}

/** Address of a picture. */
export const photoUrl = (hash: string, size: 160 | 512 | 1600 | 'original'): string => `/api/photos/${hash}?size=${size}`;

type Heard = (site: string) => void;
const listeners = new Set<Heard>();

/** Calls back when something of a site changed; returns how to stop. */
export function onChange(heard: Heard): () => void {
  listeners.add(heard);
  return () => listeners.delete(heard);
}

function changed(site: string): void {
  for (const l of listeners) l(site);
}

/** Sends what waits, quietly. */
export async function retry(): Promise<void> {
  count();
  if (queue.all().length === 0) return;
  try {
    await drain(new Set());
    if (queue.all().length === 0) app.say(t('said-sent'));
    changed('');
  } catch {
    // Stays on the shelf; the banner says so.
  }
}

/** Watches the hub for changes and due reminders, and sends what waits when it is back. */
export function watch(): void {
  count();
  const source = new EventSource('/api/watch');
  source.onopen = () => {
    app.reached = true;
    void retry();
    changed('');
  };
  source.onerror = () => {
    app.reached = false;
    // A refusal (401) ends an EventSource for good: ask once why, and begin again later.
    if (source.readyState === EventSource.CLOSED) {
      void call('/api/sites').catch(() => undefined);
      setTimeout(watch, 10_000);
    }
  };
  source.addEventListener('changed', (e) => changed((JSON.parse((e as MessageEvent<string>).data) as { site: string }).site));
  source.addEventListener('due', (e) => {
    const due = JSON.parse((e as MessageEvent<string>).data) as DueNote;
    const same = (d: DueNote): boolean => d.pour === due.pour && d.kind === due.kind;
    app.due = [...app.due.filter((d) => !same(d)), due];
    if (!matchMedia('(prefers-reduced-motion: reduce)').matches) navigator.vibrate?.([200, 100, 200]);
    changed(due.site);
  });
}
