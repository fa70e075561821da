// Logging: an event is kept on this phone first and leaves its outbox when the hub has answered,
// so a lost connection or a closed browser loses nothing. Says what became of it, with a way
// back. What is sent how: send.ts.

import { app } from '../lib/app.svelte';
import { newId } from '../lib/id';
import { inCalendar } from '../lib/time';
import type { Event, EventError, Kind } from '../lib/types.gen';
import { t } from '../lib/words';
import { get } from './ask';
import { ApiError, PATIENCE, isAway } from './hub';
import { count, outbox } from './keep';
import { changed, sendLater } from './signals';

/** What became of logged events. */
export interface Sent {
  /** `saved`: the hub has them. `kept`: on this phone, not yet sent. `refused`: see errors. */
  how: 'saved' | 'kept' | 'refused';
  errors: EventError[];
}

/** Says so when this browser may not log: nothing is kept that the hub will never take. */
export function onlyReads(): boolean {
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
    const errors = await (await import('./reckon')).check(events).catch(() => []);
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
  const sending = import('./send').then((it) => it.drain(mine));
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
    sendLater();
    return { how: 'kept', errors: [] };
  }
}

/** Says what was refused of entries for a site. */
export async function sayRefused(site: string, errors: EventError[]): Promise<void> {
  if (errors.length === 0) return;
  const { line } = await import('../lib/refusal');
  const view = await get('/api/sites/{site}', { site }).catch(() => null);
  for (const e of errors) app.say(line(e, view?.site.fact.units), true);
}

/** Logs events and says in a short message what became of them, with a way back. True unless refused. */
export async function logAndSay(site: string, drafts: Draft[], words = t('said-saved')): Promise<boolean> {
  const named = drafts.map((d) => ({ ...d, id: d.id ?? freshId() }));
  const sent = await log(site, named);
  if (!sent) return false;
  if (sent.errors.length > 0) await sayRefused(site, sent.errors);
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
