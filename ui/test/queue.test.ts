// Ids and routes, and the outbox: what is only on this phone.
import { describe, expect, it } from 'vitest';
import { backoff } from '../src/log/backoff';
import { newId } from '../src/lib/id';
import { Memory, type Edit, type Shelf } from '../src/log/shelf';
import { Outbox, type Held, type LocalPhoto } from '../src/log/outbox';
import { Stream } from '../src/log/stream';
import { core, coreThere } from './core-here';
import { href, parse, type Route } from '../src/lib/router';
import { clean, differences } from '../src/lib/schema';
import type { Event } from '../src/lib/types.gen';

const event = (id: string, kind: string, body: Record<string, unknown> = {}): Event => ({
  id,
  site: 's',
  by: 'a',
  at_ms: 1,
  kind,
  body,
});

describe('ids', () => {
  it('are what the log asks for, unique, and in order of time', () => {
    const ids = Array.from({ length: 500 }, (_, i) => newId(1_790_000_000_000 + Math.floor(i / 50)));
    expect(new Set(ids).size).toBe(500);
    expect([...ids].sort()).toEqual(ids);
    for (const id of ids) expect(id).toMatch(/^[0-9a-hjkmnp-tv-z]{26}$/);
  });
});

describe('routes', () => {
  const routes: Route[] = [
    { at: 'sites' },
    { at: 'site', site: 'abc' },
    { at: 'log', site: 'abc', step: null },
    { at: 'log', site: 'abc', step: 'x1' },
    { at: 'setup', site: 'abc' },
    { at: 'weather', site: 'abc' },
    { at: 'plan', site: 'abc', part: 'flight' },
    { at: 'plan', site: 'abc', part: 'days' },
    { at: 'pour', site: 'abc', pour: 'p9' },
  ];
  it.each(routes)('%j there and back', (route) => {
    const url = new URL(href(route), 'http://x');
    expect(parse(url.pathname, url.search)).toEqual(route);
  });
  it.each([
    '/nope',
    '/site',
    '/site/a/b',
    '/site/a/pour',
    '/site/a/setup/x',
    '/site/a/plan/x',
    '/site/a/plan/buy/x',
    '/site/a/pour/b/c',
  ])('%s is lost', (path) => expect(parse(path).at).toBe('lost'));
  it('stands a broken escape', () => expect(parse('/site/%E0%A4%A').at).toBe('site'));
});

const photo = (id: string, at_ms = 5): LocalPhoto => ({
  id,
  site: 's',
  pour: 'p',
  name: 'a.jpg',
  type: 'image/jpeg',
  by: 'a',
  at_ms,
  size: 3,
  why: '',
});
const bytes = (...list: number[]): ArrayBuffer => new Uint8Array(list).buffer;
/** The hub has taken the first so many. */
async function sent(q: Outbox, accepted: number): Promise<void> {
  const stream = new Stream(q, core);
  const batch = await stream.batch();
  if (batch) await stream.heard(batch, { head: null, accepted });
}
const ids = (events: { id: string }[]): string[] => events.map((e) => e.id);

describe.skipIf(!coreThere)('outbox', () => {
  it('keeps events in order, once, for the next page', async () => {
    const shelf = Promise.resolve(new Memory());
    const q = new Outbox(shelf);
    // The order is that of logging, not of the ids: a clock may be set back.
    await q.add([event('9', 'batch'), event('2', 'batch')]);
    await q.add([event('2', 'batch'), event('3', 'batch')]);
    expect(ids(await new Outbox(shelf).all())).toEqual(['9', '2', '3']);
    await sent(q, 1);
    expect(ids(await new Outbox(shelf).all())).toEqual(['2', '3']);
  });
  it('keeps what was sent among the events of the hub, in the same step', async () => {
    const kept = new Memory();
    const steps: Edit[][] = [];
    const change = kept.change.bind(kept);
    kept.change = (edits) => (steps.push(edits), change(edits));
    const q = new Outbox(Promise.resolve(kept));
    await q.add([event('1', 'mix'), event('2', 'mix')]);
    await sent(q, 1);
    expect(ids(await q.all())).toEqual(['2']);
    expect((await kept.all<{ id: string }>('events')).map((r) => r.id)).toEqual(['1']);
    expect(steps.at(-1)?.map((e) => e.area)).toEqual(['sent', 'events', 'outbox']);
  });
  it('says how much there is and since when, and marks it for the next start', async () => {
    const marks: Held[] = [];
    const q = new Outbox(Promise.resolve(new Memory()), (held) => void marks.push(held));
    await q.add([
      { ...event('1', 'mix'), at_ms: 70 },
      { ...event('2', 'mix'), at_ms: 40 },
    ]);
    await q.addPhoto(photo('p1', 60), bytes(1, 2, 3));
    expect(await q.held()).toEqual({ entries: 2, photos: 1, oldest: 40, elsewhere: 0 });
    expect(marks.at(-1)).toEqual(await q.held());
    marks.length = 0;
    await sent(q, 1);
    // Lowered before it is taken off: a page closed in between raises no false alarm.
    expect(marks.map((m) => m.entries)).toEqual([1, 1]);
    await q.dropPhoto('p1');
    await sent(q, 1);
    expect(await q.held()).toEqual({ entries: 0, photos: 0, oldest: 0, elsewhere: 0 });
  });
  it('keeps a photo byte for byte, and why it was refused', async () => {
    const q = new Outbox(Promise.resolve(new Memory()));
    await q.addPhoto(photo('p1'), bytes(255, 0, 7));
    await q.photoRefused('p1', 'no picture');
    expect((await q.photos()).map((p) => p.why)).toEqual(['no picture']);
    expect([...new Uint8Array((await q.bytes('p1')) ?? bytes())]).toEqual([255, 0, 7]);
    await q.dropPhoto('p1');
    expect([await q.photos(), await q.bytes('p1')]).toEqual([[], null]);
  });
  it('sends nothing to another hub that has the same address', async () => {
    const q = new Outbox(Promise.resolve(new Memory()));
    await q.add([event('0', 'mix')]);
    q.hub = 'hub-a';
    await q.add([event('1', 'mix')]);
    await q.addPhoto(photo('p1'), bytes(1));
    q.hub = 'hub-b';
    expect(ids(await q.all())).toEqual(['0']);
    expect(await q.photos()).toEqual([]);
    expect(await q.held()).toMatchObject({ entries: 1, photos: 0, elsewhere: 2 });
    expect(ids(await q.everything())).toEqual(['0', '1']);
    q.hub = 'hub-a';
    expect(ids(await q.all())).toEqual(['0', '1']);
  });
  it('rejects when there is no room', async () => {
    const full: Shelf = {
      lasting: true,
      all: () => Promise.resolve([]),
      get: () => Promise.resolve(undefined),
      change: () => Promise.reject(new Error('full')),
      rework: () => Promise.reject(new Error('full')),
    };
    await expect(new Outbox(Promise.resolve(full)).add([event('1', 'mix')])).rejects.toThrow('full');
    await expect(new Outbox(Promise.resolve(full)).addPhoto(photo('p1'), bytes(1))).rejects.toThrow('full');
  });
  it('keeps refused events until they were read', async () => {
    const q = new Outbox(Promise.resolve(new Memory()));
    await q.setAside([
      {
        event: event('1', 'mix'),
        error: {
          event: '1',
          field: 'bag_kg',
          value: '0',
          reason: { code: 'out_of_range', min: 1, max: 2000, unit: 'kg', than: '', allowed: '' },
        },
      },
    ]);
    expect((await q.refused()).map((r) => r.error.field)).toEqual(['bag_kg']);
    await q.clearRefused();
    expect(await q.refused()).toEqual([]);
  });
  it('takes over what the version before kept elsewhere', async () => {
    const old = new Map([
      ['slowstone.queue', JSON.stringify([event('1', 'pour'), event('2', 'batch', { pour: '1' })])],
      ['slowstone.queue.refused', '{oops'],
    ]);
    const place = { getItem: (k: string) => old.get(k) ?? null, removeItem: (k: string) => void old.delete(k) };
    const lasting = new Memory() as { lasting: boolean } & Shelf;
    Object.defineProperty(lasting, 'lasting', { value: true });
    const q = new Outbox(Promise.resolve(lasting));
    expect(await q.migrate(place)).toBe(2);
    expect(ids(await q.all())).toEqual(['1', '2']);
    expect([...old.keys()]).toEqual([]);
    expect(await q.migrate(place)).toBe(0);
    // A memory that ends with the page is no place to move anything to.
    old.set('slowstone.queue', JSON.stringify([event('3', 'mix')]));
    await new Outbox(Promise.resolve(new Memory())).migrate(place);
    expect(old.has('slowstone.queue')).toBe(true);
  });
});

describe('tries', () => {
  it('come after longer and longer breaks, no two phones at once', () => {
    expect([1, 2, 3, 4, 99].map((n) => backoff(n, 1000, 8000, () => 0))).toEqual([1000, 2000, 4000, 8000, 8000]);
    expect(backoff(3, 1000, 8000, () => 1)).toBe(2000);
    expect(backoff(0, 1000, 8000, () => 0)).toBe(1000);
  });
});

describe('bodies', () => {
  it('says only what differs, null for what was emptied', () => {
    expect(differences({ a: 1, b: 2, c: [1] }, { a: 1, b: null, c: [1, 2], d: 'x' })).toEqual({
      b: null,
      c: [1, 2],
      d: 'x',
    });
    expect(differences({ a: 1 }, { a: 1, b: undefined })).toEqual({});
  });
  it('leaves out what is empty but not what is nought', () =>
    expect(clean({ a: null, b: undefined, c: 0, d: '', e: false })).toEqual({ c: 0, d: '', e: false }));
});
