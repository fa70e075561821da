// Ids, routes and the shelf of events that wait to be sent.
import { describe, expect, it } from 'vitest';
import { newId } from '../src/lib/id';
import { Queue } from '../src/lib/queue';
import { href, parse, type Route } from '../src/lib/router';
import { clean, differences } from '../src/lib/schema';
import type { Event } from '../src/lib/types.gen';

const shelf = () => {
  const map = new Map<string, string>();
  return { map, getItem: (k: string) => map.get(k) ?? null, setItem: (k: string, v: string) => void map.set(k, v) };
};
const event = (id: string, kind: string, body: Record<string, unknown> = {}): Event => ({ id, site: 's', by: 'a', at_ms: 1, kind, body });

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
    { at: 'sites' }, { at: 'site', site: 'abc' }, { at: 'log', site: 'abc', step: null }, { at: 'log', site: 'abc', step: 'x1' },
    { at: 'setup', site: 'abc' }, { at: 'weather', site: 'abc' }, { at: 'pour', site: 'abc', pour: 'p9' },
  ];
  it.each(routes)('%j there and back', (route) => {
    const url = new URL(href(route), 'http://x');
    expect(parse(url.pathname, url.search)).toEqual(route);
  });
  it.each(['/nope', '/site', '/site/a/b', '/site/a/pour', '/site/a/setup/x', '/site/a/pour/b/c'])('%s is lost', (path) => expect(parse(path).at).toBe('lost'));
  it('stands a broken escape', () => expect(parse('/site/%E0%A4%A').at).toBe('site'));
});

describe('queue', () => {
  it('keeps events in order, once, across a reload', () => {
    const s = shelf();
    const q = new Queue(s);
    q.add([event('1', 'batch'), event('2', 'batch')]);
    q.add([event('2', 'batch'), event('3', 'batch')]);
    expect(new Queue(s).all().map((e) => e.id)).toEqual(['1', '2', '3']);
    q.drop(['2']);
    expect(new Queue(s).all().map((e) => e.id)).toEqual(['1', '3']);
  });
  it('sends what others hang on alone and first', () => {
    const q = new Queue(shelf());
    q.add([event('0', 'mix'), event('1', 'pour'), event('2', 'batch', { pour: '1' }), event('3', 'reading'), event('4', 'pour')]);
    const sent: string[][] = [];
    for (let next = q.next(); next.length > 0; next = q.next()) {
      sent.push(next.map((e) => e.id));
      q.drop(next.map((e) => e.id));
    }
    expect(sent).toEqual([['0'], ['1'], ['2', '3'], ['4']]);
  });
  it('finds what hangs on a refused event', () => {
    const q = new Queue(shelf());
    q.add([event('2', 'batch', { pour: '1' }), event('3', 'step', { flight: '1' }), event('4', 'correction', { target: '1' }), event('5', 'mix')]);
    expect(q.hanging(['1']).map((e) => e.id)).toEqual(['2', '3', '4']);
  });
  it('throws when there is no room, and stands a broken shelf', () => {
    const full = { getItem: () => null, setItem: () => { throw new Error('full'); } };
    expect(() => new Queue(full).add([event('1', 'mix')])).toThrow();
    expect(new Queue({ getItem: () => '{oops', setItem: () => undefined }).all()).toEqual([]);
  });
  it('keeps refused events until they were read', () => {
    const q = new Queue(shelf());
    q.setAside([{ event: event('1', 'mix'), error: { event: '1', field: 'bag_kg', value: '0', why: 'must be more' } }]);
    expect(q.refused()).toHaveLength(1);
    q.clearRefused();
    expect(q.refused()).toEqual([]);
  });
});

describe('bodies', () => {
  it('says only what differs, null for what was emptied', () => {
    expect(differences({ a: 1, b: 2, c: [1] }, { a: 1, b: null, c: [1, 2], d: 'x' })).toEqual({ b: null, c: [1, 2], d: 'x' });
    expect(differences({ a: 1 }, { a: 1, b: undefined })).toEqual({});
  });
  it('leaves out what is empty but not what is nought', () => expect(clean({ a: null, b: undefined, c: 0, d: '', e: false })).toEqual({ c: 0, d: '', e: false }));
});
