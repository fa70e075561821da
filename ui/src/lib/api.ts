// The only way to the hub and to what this phone keeps: views, logging, photos, changes.
// An event is kept on this phone first and leaves its outbox when the hub has answered, so
// a lost connection or a closed browser loses nothing. A view comes from the hub, and from
// the same core on this phone when the hub is not reached. Screens never call `fetch`.
// When what is sent again: link.ts.

import { untrack } from 'svelte';
import { app } from './app.svelte';
import { openShelf } from './db';
import { newId } from './id';
import { Outbox, type Held } from './queue';
import { inCalendar } from './time';
import { address, type Answer, type Given, type IfAny, type Params, type Path, type Route, type View } from './routes';
import type { DamagedPhoto } from './routes.gen';
import type { Event, EventError, Kind, Misfit } from './types.gen';
import { find, t } from './words';

/** An answer that was no success. */
export class ApiError extends Error {
  constructor(
    readonly status: number,
    readonly code: string,
    text: string,
    readonly field = '',
    readonly value = '',
  ) {
    super(text);
  }
}

/** How long a person waits for the hub before this phone answers by itself, ms. */
const PATIENCE = { view: 12_000, gone: 2_500, saving: 5_000, sending: 60_000 };

export const shelf = openShelf();
export const outbox = new Outbox(shelf, remember);

/** Notes outside of the database what it holds, to notice when the browser threw it away. */
function remember(held: Held): void {
  try {
    localStorage.setItem('slowstone.held', JSON.stringify(held));
  } catch {
    // Without the note a loss would not be noticed; nothing else depends on it.
  }
}

/** Looks anew at what waits on this phone. */
export async function count(): Promise<void> {
  app.held = await outbox.held();
  app.refused = await outbox.refused();
  app.photos = await outbox.photos();
  app.unsent = new Set((await outbox.all()).flatMap((e) => [e.id, e.site]));
}

/** Asks the hub. Every answer of it, also a refusal, shows that it is there. */
export async function call(path: string, init?: RequestInit, patience = PATIENCE.sending): Promise<Response> {
  let answer: Response;
  try {
    answer = await fetch(path, { credentials: 'same-origin', signal: AbortSignal.timeout(patience), ...init });
  } catch {
    app.reached = false;
    throw new ApiError(0, 'unreachable', t('error-unreachable'));
  }
  app.reached = true;
  app.locked = answer.status === 401;
  return answer;
}

export async function failure(answer: Response): Promise<ApiError> {
  try {
    const { error } = (await answer.json()) as {
      error: { code: string; text: string; field?: string; value?: string; reason?: Misfit };
    };
    const { field = '', value = '', reason } = error;
    const said = reason ? (await refusal()).line({ field, value, reason }) : find(`refused-${error.code}`, { value });
    return new ApiError(answer.status, error.code, said ?? error.text, field, value);
  } catch {
    return new ApiError(answer.status, 'http', t('error-http', { status: answer.status }));
  }
}

/** The hub cannot answer now: not reached, not let in, or something before it says so. */
const isAway = (e: ApiError): boolean => [0, 401, 502, 503, 504].includes(e.status);

/** Why values cannot be, in words; loaded when something was refused. */
const refusal = (): Promise<typeof import('./refusal')> => import('./refusal');

/** What works without the hub; loaded when it is needed. */
const offline = (): Promise<typeof import('./offline')> => import('./offline');

/** A view: of the hub, or of this phone when the hub is away or lacks what is only here. */
export function get<P extends Path>(path: P, ...[params]: IfAny<Params<P>>): Promise<View<P>> {
  // Whoever asks in an effect wants one answer, not another whenever something is sent.
  return untrack(() => view(path, (params ?? {}) as Params<P>));
}

async function view<P extends Path>(path: P, params: Params<P>): Promise<View<P>> {
  let why = new ApiError(0, 'unreachable', t('error-unreachable'));
  const { site } = params as { site?: string };
  if (site !== undefined && app.unsent.has(site)) {
    try {
      return await (await offline()).view(path, params, why);
    } catch {
      // This phone cannot tell: then the hub, as far as it knows.
    }
  }
  try {
    const at = address(`GET ${path}`, params);
    const answer = await call(at, undefined, app.reached ? PATIENCE.view : PATIENCE.gone);
    if (!answer.ok) throw await failure(answer);
    const data = (await answer.json()) as View<P>;
    const nowMs = (data as { now_ms?: unknown }).now_ms;
    if (typeof nowMs === 'number') app.heard(nowMs);
    return data;
  } catch (e) {
    why = e instanceof ApiError ? e : why;
    if (!isAway(why)) throw why;
  }
  return (await offline()).view(path, params, why);
}

/** Has the hub do something at once. Nothing is kept for later when it is not reached. */
export async function send<R extends Route>(
  route: R,
  ...how: [...IfAny<Given<R>>, patience?: number]
): Promise<Answer<R>> {
  const [given, patience] = how as unknown as [{ params?: Record<string, never>; body?: unknown }?, number?];
  const { params = {}, body } = given ?? {};
  const bytes = body instanceof Blob || body instanceof ArrayBuffer;
  const sent = bytes ? { body } : { headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) };
  const method = route.slice(0, route.indexOf(' '));
  const answer = await call(address(route, params), { method, ...(body === undefined ? {} : sent) }, patience);
  if (!answer.ok) throw await failure(answer);
  return (await answer.json()) as Answer<R>;
}

/** What became of logged events. */
export interface Sent {
  /** `saved`: the hub has them. `kept`: on this phone, not yet sent. `refused`: see errors. */
  how: 'saved' | 'kept' | 'refused';
  errors: EventError[];
}

/** Work that only one page of this browser does at a time. */
export async function alone<T>(name: string, work: () => Promise<T>): Promise<T> {
  // No locks where the connection is not secure; sending twice does no harm.
  return navigator.locks ? (navigator.locks.request(`slowstone-${name}`, work) as Promise<T>) : work();
}

/** Makes sure which hub answers before anything is sent to it. */
export async function meet(): Promise<void> {
  if (app.met && app.reached) return;
  await (await offline()).meet();
  app.met = true;
}

let running: Promise<unknown> = Promise.resolve();

/** Sends what waits. Returns refusals; rejects when the hub is not reached or in trouble. */
export function drain(mine: Set<string>): Promise<EventError[]> {
  const turn = running.then(() => alone('events', () => drainNow(mine)));
  running = turn.catch(() => undefined);
  return turn;
}

async function drainNow(mine: Set<string>): Promise<EventError[]> {
  await meet();
  if ((await outbox.all()).length === 0) return [];
  return (await import('./sending')).sendEvents(mine);
}

/** Says so when this browser may not log: nothing is kept that the hub will never take. */
function onlyReads(): boolean {
  const is = app.me?.role === 'viewer';
  if (is) app.say(t('view-only'), true);
  return is;
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
 * Logs events. Null when the person did not give a name, or when this phone can keep nothing
 * (it says so). They are kept on this phone when this resolves, and the hub has them if it
 * says `saved`.
 */
export async function log(site: string, drafts: Draft[]): Promise<Sent | null> {
  if (onlyReads()) return null;
  const by = await app.whoIs();
  if (!by) return null;
  // The clock of this device is told as it is, unless it shows no time at all: then the hub's.
  const clock = inCalendar(Date.now()) ? Date.now() : Math.round(app.clock());
  if (!inCalendar(clock)) {
    app.say(t('error-clock'), true);
    return null;
  }
  const events: Event[] = drafts.map((d) => ({
    id: d.id ?? freshId(),
    site: d.site ?? site,
    by,
    at_ms: clock,
    kind: d.kind,
    body: JSON.parse(JSON.stringify(d.body)) as Record<string, unknown>,
  }));
  if (!app.reached) {
    // What cannot be is said at once, not a week later.
    const errors = await (await offline()).check(events).catch(() => []);
    if (errors.length > 0) return { how: 'refused', errors };
  }
  try {
    await outbox.add(events, app.clock());
  } catch {
    app.say(t('error-shelf'), true);
    return null;
  }
  app.logged = app.clock();
  await count();
  void navigator.storage?.persist?.().then(
    (yes) => (app.safe = yes),
    () => undefined,
  );
  const mine = new Set(events.map((e) => e.id));
  const sending = drain(mine);
  try {
    const errors = await Promise.race([
      sending,
      new Promise<never>((_, late) => setTimeout(() => late(new ApiError(0, 'slow', '')), PATIENCE.saving)),
    ]);
    changed(site);
    return { how: errors.length > 0 ? 'refused' : 'saved', errors };
  } catch (e) {
    // Nobody waits for these any more: what is refused later is set aside and told.
    mine.clear();
    sending.catch(() => undefined);
    if (e instanceof ApiError && !isAway(e)) app.say(e.message, true);
    changed(site);
    again();
    return { how: 'kept', errors: [] };
  }
}

/** Logs events and says in a short message what became of them, with a way back. True unless refused. */
export async function logAndSay(site: string, drafts: Draft[], words = t('said-saved')): Promise<boolean> {
  const named = drafts.map((d) => ({ ...d, id: d.id ?? freshId() }));
  const sent = await log(site, named);
  if (!sent) return false;
  if (sent.errors.length > 0) await (await refusal()).say(site, sent.errors);
  if (sent.how === 'refused') return false;
  saidSo(
    sent,
    site,
    named.map((d) => d.id),
    words,
    drafts[0]?.kind === 'retraction' ? t('what-restored') : undefined,
  );
  return true;
}

/** Says that entries are kept or sent, and offers to take them back. */
export function saidSo(sent: Sent, site: string, entries: string[], words = t('said-saved'), undone?: string): void {
  app.say(sent.how === 'saved' ? words : kept(), sent.how === 'kept', () => void takeBack(site, entries, undone));
}

/** What is said when something is kept here and not sent. */
export const kept = (): string => t(app.lasting ? 'said-kept' : 'said-fleeting');

/** Takes entries back and offers to undo that. True unless it was refused. */
export const takeBack = (site: string, targets: string | string[], words = t('rec-taken-back')): Promise<boolean> =>
  logAndSay(
    site,
    [targets].flat().map((target) => ({ kind: 'retraction', body: { target } })),
    words,
  );

/** What is said of a photo's place when it is taken: by the screen, or by a person. */
export interface Shown {
  pour?: string | null;
  step?: string | null;
  stage?: string;
}

/** The photos that cannot be shown, by the id of their entry; none when the hub is not reached. */
export async function damagedPhotos(): Promise<Map<string, DamagedPhoto>> {
  const said = await get('/api/photos').catch(() => ({ damaged: [] }));
  return new Map(said.damaged.map((p) => [p.event, p]));
}

/** Sends the file of a photo that is damaged on the hub again, under the id of its entry. */
export const sendAgain = (site: string, file: File, pour: string | null, id: string): Promise<boolean> =>
  addPhotos(site, [file], { pour }, id);

/** Keeps pictures on this phone, as they are, and has them sent. False when there is no name. */
export async function addPhotos(site: string, files: File[], shown: Shown = {}, id?: string): Promise<boolean> {
  if (files.length === 0) return true;
  if (onlyReads()) return false;
  const by = await app.whoIs();
  if (!by) return false;
  const added: string[] = [];
  for (const file of files) {
    const { pour = null, step = null, stage = '' } = shown;
    const photo = {
      id: id ?? freshId(),
      site,
      pour,
      step,
      stage,
      name: file.name,
      type: file.type,
      by,
      at_ms: app.clock(),
      size: file.size,
      why: '',
    };
    try {
      await outbox.addPhoto(photo, await file.arrayBuffer());
      added.push(photo.id);
    } catch {
      app.say(t('photo-no-room', { name: file.name }), true);
    }
    await count();
  }
  const photos = await import('./photos');
  await photos.sendPhotos().catch(async () => {
    await photos.sayWaiting(site, added);
    again();
  });
  return true;
}

/** Address of a picture. */
export const photoUrl = (hash: string, size: 160 | 512 | 1600 | 'original'): string =>
  `/api/photos/${hash}?size=${size}`;

type Heard = (site: string) => void;
const listeners = new Set<Heard>();

/** Calls back when something of a site changed ('' for any); returns how to stop. */
export function onChange(heard: Heard): () => void {
  listeners.add(heard);
  return () => listeners.delete(heard);
}

/** Tells the screens that something of a site changed. */
export function changed(site: string): void {
  for (const l of listeners) l(site);
}

/** Set by link.ts: tries again after a while. */
let again: () => void = () => undefined;
export function onKept(later: () => void): void {
  again = later;
}
