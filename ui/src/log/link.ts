// The thread to the hub: begins with what this phone kept, watches the hub for changes,
// sends what waits as soon as it can, and tries again after longer and longer breaks. What
// is sent and how: send.ts and photos.ts.

import { app, keep, type DueNote } from '../lib/app.svelte';
import { t } from '../lib/words';
import { backoff } from './backoff';
import { call, send } from './hub';
import { count, outbox, rules, shelf } from './keep';
import type { Held } from './outbox';
import { changed, onWaiting } from './signals';

const read = (key: string): string | null => {
  try {
    return localStorage.getItem(key);
  } catch {
    return null;
  }
};

/** Takes up what was kept here, and notices when the browser threw it away. */
export async function begin(): Promise<void> {
  const kept = await shelf;
  app.lasting = kept.lasting;
  outbox.hub = (await kept.get<{ hub: string }>('meta', 'hub'))?.hub ?? '';
  const before = JSON.parse(read('slowstone.held') ?? 'null') as Held | null;
  const born = await kept.get('meta', 'born');
  const now = await outbox.held();
  const all = (h: Held): number => h.entries + h.photos + h.elsewhere;
  if (before && kept.lasting && all(before) > 0 && all(now) === 0) app.lost = before;
  else if (!born && read('slowstone.born')) app.say(t('said-cleared'), true);
  if (!born) await kept.change([{ area: 'meta', put: { id: 'born' } }]);
  keep('born', 'yes');
  try {
    await outbox.migrate(localStorage);
  } catch {
    // No room, or no storage: what lies in the old place stays there.
  }
  await count();
  // What is logged later is then written into this phone's stream as it is kept. The first
  // screen comes before that, and who only reads needs it never.
  if (app.me?.role !== 'viewer') setTimeout(() => void rules().catch(() => undefined), 2000);
}

/** Somebody has read what was lost. */
export function readLoss(): void {
  app.lost = null;
  keep('held', JSON.stringify(app.held));
}

/** Asks who this browser is for the hub, to offer only what will be taken. */
export async function who(): Promise<void> {
  const me = await send('GET /api/me', {}, 5000).catch(() => null);
  if (!me) return;
  app.me = me;
  keep('me', JSON.stringify(app.me));
}

let failures = 0;
let timer: ReturnType<typeof setTimeout> | undefined;
let busy: Promise<void> | null = null;

/** Tries again after a while, if there is something to send. */
function later(): void {
  clearTimeout(timer);
  if (app.held.entries + app.held.photos > 0) timer = setTimeout(() => void retry(), backoff(failures, 2000, 120_000));
}
onWaiting(later, () => void retry());

/** Sends what waits and fetches what is new, quietly; one at a time. */
export function retry(): Promise<void> {
  busy ??= once().finally(() => (busy = null));
  return busy;
}

async function once(): Promise<void> {
  clearTimeout(timer);
  try {
    await count();
    const had = app.held.entries + app.held.photos;
    await (await import('./fetch')).meet();
    await (await import('./send')).drain(new Set());
    if (app.photos.some((p) => p.why === '')) await (await import('./photos')).sendPhotos();
    await count();
    failures = 0;
    if (had > 0) changed('');
    if (had > 0 && app.held.entries + app.held.photos === 0) app.say(t('said-sent'));
    void fetchSoon('');
  } catch {
    // It stays on this phone; the banner says so.
    failures += 1;
    await count().catch(() => undefined);
    later();
  }
}

const soon = new Map<string, ReturnType<typeof setTimeout>>();
/** Fetches new entries of a site ('' for all) when nothing more pressing is going on. */
function fetchSoon(site: string, tries = 1): void {
  // A guest keeps nothing.
  if (app.me?.via === 'guest') return;
  clearTimeout(soon.get(site));
  const go = async (): Promise<void> => {
    try {
      const { meet, pull } = await import('./fetch');
      await meet();
      await pull(site);
    } catch {
      // When the hub is back, `watch` begins anew.
      if (source) fetchSoon(site, tries + 1);
    }
  };
  soon.set(
    site,
    setTimeout(() => void go(), backoff(tries, 2000, 120_000)),
  );
}

let source: EventSource | null = null;
let broken = 0;
let mend: ReturnType<typeof setTimeout> | undefined;

/** Watches the hub for changes and due reminders; begins again when it was away. */
function watch(): void {
  clearTimeout(mend);
  source?.close();
  const now = new EventSource('/api/watch');
  source = now;
  now.onopen = () => {
    broken = 0;
    app.reached = true;
    app.locked = false;
    void who();
    void retry();
    changed('');
    dispatchEvent(new CustomEvent('slowstone-back'));
  };
  now.onerror = () => {
    now.close();
    if (source !== now) return;
    source = null;
    app.met = false;
    broken += 1;
    // Why: not reached, or not let in?
    void call('/api/hub', undefined, 5000).catch(() => undefined);
    mend = setTimeout(watch, backoff(broken, 1000, 30_000));
  };
  now.addEventListener('changed', (e) => {
    const { site } = JSON.parse((e as MessageEvent<string>).data) as { site: string };
    changed(site);
    fetchSoon(site);
  });
  now.addEventListener('due', (e) => {
    const due = JSON.parse((e as MessageEvent<string>).data) as DueNote;
    const same = (d: DueNote): boolean => d.pour === due.pour && d.kind === due.kind;
    app.due = [...app.due.filter((d) => !same(d)), due];
    // Before the first tap a browser lets no page shake the phone.
    if (navigator.userActivation?.hasBeenActive && !matchMedia('(prefers-reduced-motion: reduce)').matches)
      navigator.vibrate?.([200, 100, 200]);
    changed(due.site);
  });
}

/** At once, because something changed: the network is back, the page is looked at again. */
export function hurry(): void {
  failures = 0;
  if (!source) watch();
  void retry();
}
