// Keeping the hub's entries on this phone, so that its core knows them: which hub answers, and
// what is new of a site. Loaded when it is needed. Sending is in send.ts and photos.ts.

import { app } from '../lib/app.svelte';
import type { EventsPage, HubNow } from '../lib/routes.gen';
import { t } from '../lib/words';
import { ApiError, send } from './hub';
import { count, outbox, shelf, stream } from './keep';
import { deviceIn } from './records';
import { forget, learn, type Known } from './reckon';
import type { Edit } from './shelf';
import { changed, sendSoon } from './signals';

/** How far the entries of a site were fetched. */
export interface Cursor {
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
export const cursorOf = (site: string): string => `site:${site}`;

/** Makes sure which hub answers before anything is sent to it. */
export async function meet(): Promise<void> {
  if (app.met && app.reached) return;
  await meetNow();
  app.met = true;
}

/** Which hub answers. Another one than before: its entries take the place of the old ones. */
async function meetNow(): Promise<void> {
  const kept = await shelf;
  const device = deviceIn(await kept.all('meta'));
  const told = await send('GET /api/hub', { params: { device } });
  app.heard(told.now_ms);
  await meetHub(told);
  // What it lost of this phone's own stream is sent again, as it was written.
  if (device || told.device) await stream.met(told.heads, told.device);
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
    await learn(page.events);
  }
  if (!cursor.refill) return;
  const own = await stream.ids();
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
  sendSoon();
}
