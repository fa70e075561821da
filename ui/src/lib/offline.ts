// What works without the hub: views from the core on this phone, and keeping the hub's
// entries here so that it knows them. The core is the hub's own (core.ts), so that both
// give the same answers; it runs beside the page (reckoner.ts). Loaded when it is needed.
// Sending is in api.ts and photos.ts.

import { ApiError, changed, count, outbox, send, shelf } from './api';
import { app } from './app.svelte';
import type { Edit } from './db';
import { newThread, reckonerOn, type Reckoner } from './reckoner';
import { sender } from './sending';
import type { Params, Path, View } from './routes';
import type { EventsPage, HubNow } from './routes.gen';
import { deviceIn } from './streams';
import type { LocalPhoto } from './queue';
import type { Event, EventError, PhotoPlace } from './types.gen';
import { t } from './words';

interface Known {
  id: string;
  site: string;
  /** Place in the hub's order. */
  pos: number;
  event: Event;
}
interface Cursor {
  id: string;
  after: number;
  /** All pages were fetched once: before that, views could tell half of it. */
  whole: boolean;
  /** The hub was set back to a backup: what it lacks is sent again. */
  refill?: boolean;
}
interface Met {
  id: 'hub';
  hub: string;
  epoch: string;
}
let core: Promise<Reckoner> | null = null;

/** The core, with everything that this phone knows. */
async function ready(): Promise<Reckoner> {
  core ??= build();
  try {
    const made = await core;
    await made.add(await outbox.all());
    return made;
  } catch (e) {
    forget();
    throw e;
  }
}

async function build(): Promise<Reckoner> {
  const rows = await (await shelf).all<Known>('events');
  const made = reckonerOn(newThread());
  for (let i = 0; i < rows.length; i += 1000) await made.add(rows.slice(i, i + 1000).map((r) => r.event));
  return made;
}

/** Begins anew with the core: something that it knew was refused. */
export function forget(): void {
  void core?.then((made) => made.end()).catch(() => undefined);
  core = null;
}

const cursorOf = (site: string): string => `site:${site}`;

/** The question to the core that a view is the answer to; null if only the hub has it. */
function question(
  path: Path,
  params: { site?: string; pour?: string; record?: string },
): Record<string, unknown> | null {
  const { site, pour, record } = params;
  const now_ms = Math.round(app.clock());
  switch (path) {
    case '/api/sites':
      return { op: 'sites' };
    case '/api/sites/{site}':
      return { op: 'site', site, now_ms };
    case '/api/sites/{site}/photos':
      return { op: 'photos', site, now_ms };
    case '/api/sites/{site}/pours/{pour}':
      return { op: 'pour', site, pour, now_ms };
    case '/api/sites/{site}/history/{record}':
      return { op: 'history', site, record };
    default:
      return null;
  }
}

/** A view from this phone; `why` is thrown when it knows nothing of it. */
export async function view<P extends Path>(path: P, params: Params<P>, why: ApiError): Promise<View<P>> {
  const ask = question(path, params as { site?: string });
  if (!ask) throw new ApiError(0, 'offline', t('error-needs-hub'));
  const site = typeof ask['site'] === 'string' ? ask['site'] : '';
  // With the hub there, only what is not sent yet is missing from its answers.
  if (site && app.reached && !app.locked) await pull(site).catch(() => undefined);
  const cursor = await (await shelf).get<Cursor>('meta', cursorOf(site));
  if (cursor && !cursor.whole) throw why;
  const made = await ready().catch(() => {
    throw new ApiError(0, 'core', t('error-core'));
  });
  const answer = await made.ask<View<P> | null>(ask);
  if (answer !== null && !(site && Array.isArray(answer) && answer.length === 0)) return answer;
  // A site that is known, but not this in it: it was taken back, or never was.
  if (ask['op'] !== 'site' && (await made.ask({ op: 'site', site, now_ms: 0 })) !== null)
    throw new ApiError(404, 'missing', t('state-gone'));
  throw why;
}

/** Where a photo that waits will be, by the hub's own rules. Its time is when it was taken up. */
export async function placeToBe(photo: LocalPhoto): Promise<PhotoPlace> {
  const { pour, step = null, stage = '' } = photo;
  const byPlace = pour || step ? 'stage' : 'time';
  const filing = stage ? 'hand' : byPlace;
  const body = {
    pour,
    step,
    stage,
    filing,
    taken_ms: Math.round(photo.at_ms),
    time_source: 'arrival',
    hash: '0'.repeat(64),
    bytes: 1,
    format: 'jpeg',
  };
  return (await ready()).ask<PhotoPlace>({ op: 'place', site: photo.site, photo: body });
}

/** Why events cannot be, by the hub's own rules. */
export async function check(events: Event[]): Promise<EventError[]> {
  const made = await ready();
  const why = await Promise.all(events.map((event) => made.ask<EventError | null>({ op: 'check', event })));
  return why.filter((error) => error !== null);
}

/** Which hub answers. Another one than before: its entries take the place of the old ones. */
export async function meet(): Promise<void> {
  const kept = await shelf;
  const device = deviceIn(await kept.all('meta'));
  const told = await send('GET /api/hub', { params: { device } });
  app.heard(told.now_ms);
  await meetHub(told);
  // What it lost of this phone's own stream is sent again, as it was written.
  if (device || told.device) await sender.met(told.heads, told.device);
  await count();
}

async function meetHub(told: HubNow): Promise<void> {
  const kept = await shelf;
  const before = await kept.get<Met>('meta', 'hub');
  if (before?.hub === told.hub && before.epoch === told.epoch) {
    outbox.hub = told.hub;
    return;
  }
  const edits: Edit[] = [{ area: 'meta', put: { id: 'hub', hub: told.hub, epoch: told.epoch } }];
  if (before && before.hub === told.hub) {
    // Set back to a backup: everything is fetched anew, and what it lacks is sent again.
    const sites = new Set((await kept.all<Known>('events')).map((r) => r.site));
    for (const site of sites)
      edits.push({ area: 'meta', put: { id: cursorOf(site), after: 0, whole: true, refill: true } });
  } else if (before) {
    edits.push({ area: 'events', clear: true });
    for (const row of await kept.all<{ id: string }>('meta'))
      if (row.id.startsWith('site:')) edits.push({ area: 'meta', drop: row.id });
    forget();
  }
  await kept.change(edits);
  outbox.hub = told.hub;
}

const pulling = new Map<string, Promise<void>>();

/** Fetches what is new of a site, or of all. */
export function pull(site: string): Promise<void> {
  const going = pulling.get(site) ?? (site === '' ? pullAll() : pullSite(site)).finally(() => pulling.delete(site));
  pulling.set(site, going);
  return going;
}

async function pullAll(): Promise<void> {
  const sites = (await send('GET /api/sites')).map((s) => s.id);
  const refill = (await (await shelf).all<Cursor>('meta'))
    .filter((c) => c.refill)
    .map((c) => c.id.slice(cursorOf('').length));
  for (const site of new Set([...sites, ...refill])) await pull(site);
}

/** Entries of a site after a position; null when the hub has no such site. */
async function pageAfter(site: string, after: number): Promise<EventsPage | null> {
  try {
    return await send('GET /api/sites/{site}/events', { params: { site, after } });
  } catch (e) {
    if (e instanceof ApiError && e.status === 404) return null;
    throw e;
  }
}

async function pullSite(site: string): Promise<void> {
  const kept = await shelf;
  const cursor = (await kept.get<Cursor>('meta', cursorOf(site))) ?? { id: cursorOf(site), after: 0, whole: false };
  const met = await kept.get<Met>('meta', 'hub');
  const there = new Set<string>();
  for (let more = true; more;) {
    const page = await pageAfter(site, cursor.after);
    if (!page) break;
    if (page.hub !== met?.hub || page.epoch !== met.epoch) {
      // The hub was changed under this page: meet it first.
      app.met = false;
      throw new ApiError(0, 'other', t('error-unreachable'));
    }
    more = page.more;
    cursor.after = page.next;
    cursor.whole ||= !more;
    const rows = page.events.map((event, i): Known => ({
      id: event.id,
      site: event.site,
      pos: page.next + i / 1e6,
      event,
    }));
    for (const row of rows) there.add(row.id);
    // A page that breaks off in a refill begins again.
    const mark = cursor.refill ? [] : [{ area: 'meta', put: { ...cursor } } as Edit];
    await kept.change([...rows.map((put): Edit => ({ area: 'events', put })), ...mark]);
    if (core && rows.length > 0) await (await core.catch(() => null))?.add(page.events);
  }
  if (!cursor.refill) return;
  const own = await sender.ids();
  // Notes of whose device something came from are the hub's own: it makes them anew.
  const here = (await kept.all<Known>('events')).filter(
    (r) => r.site === site && r.event.kind !== 'entered' && !there.has(r.id) && !own.has(r.id),
  );
  await outbox.add(here.sort((a, b) => a.pos - b.pos).map((r) => r.event));
  await kept.change([{ area: 'meta', put: { ...cursor, refill: false } }]);
  if (here.length === 0) return;
  await count();
  changed(site);
  app.say(t('said-refill', { n: here.length }), true);
  dispatchEvent(new Event('online'));
}
