// This phone's stream, by the rules of the hub in the core of the browser: what is kept of it, and
// that conversations which phones had before still go on as they did (tests/data/streams.json is
// written by sync/tests/streams_file.rs).
import { readFileSync } from 'node:fs';
import { blake3 } from '@noble/hashes/blake3.js';
import { bytesToHex, hexToBytes } from '@noble/hashes/utils.js';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Core } from '../src/lib/core';
import type { BatchReceived, StreamBatch, StreamId } from '../src/lib/routes.gen';
import type { Event } from '../src/lib/types.gen';
import { Outbox } from '../src/log/outbox';
import {
  changes,
  nextBatch,
  type ByPlace,
  type End,
  type Rec,
  type Stored,
  type Waiting,
  type Work,
} from '../src/log/records';
import { Memory } from '../src/log/shelf';
import { Stream } from '../src/log/stream';
import { core, coreThere } from './core-here';

type Step =
  | { write: string; after: string }
  | {
      batch: number;
      is: StreamBatch | null;
      hear?: BatchReceived;
      fresh?: StreamId;
      refused?: string | null;
      after: string;
    }
  | { meet: End[]; fresh: StreamId; after: string };
const file = JSON.parse(readFileSync('../tests/data/streams.json', 'utf8')) as {
  records: (Rec & { hash: string })[];
  talks: { start: StreamId; steps: Step[] }[];
};
const ZERO = '0'.repeat(64);
const text = new TextEncoder();

function u64(n: number): Uint8Array {
  const bytes = new Uint8Array(8);
  new DataView(bytes.buffer).setBigUint64(0, BigInt(n), true);
  return bytes;
}

/** The hash of a record, written by its description (DEVELOPERS.md) and not by the code of the hub. */
function hashOf({ stream, seq, prev, body }: Rec): string {
  const hasher = blake3.create();
  const words = ['slowstone record 1', stream.device, stream.epoch].map((word) => text.encode(word));
  for (const field of [...words, u64(seq), hexToBytes(prev), text.encode(body)])
    hasher.update(u64(field.length)).update(field);
  return bytesToHex(hasher.digest());
}

function next(end: End, body: string): [Rec, End] {
  const rec = { stream: end.stream, seq: end.seq + 1, prev: end.hash, body };
  return [rec, { stream: end.stream, seq: rec.seq, hash: hashOf(rec) }];
}

function digest(s: Stored): string {
  const line = (r: Rec): string => `${r.stream.device}.${r.stream.epoch} ${r.seq} ${r.prev} ${r.body}\n`;
  const lines = (m: ByPlace): string =>
    Object.entries(m)
      .sort(([a], [b]) => Number(a) - Number(b))
      .map(([, r]) => line(r))
      .join('');
  const all = `${s.end.stream.device}.${s.end.stream.epoch}\n${lines(s.waiting)}--\n${lines(s.sent)}`;
  return bytesToHex(blake3(text.encode(all)));
}

/** What is stored after what the core said. */
function done(made: Core, stored: Stored, work: Work): [Stored, Event[]] {
  const to = changes(made, work);
  const without = (all: ByPlace, places: number[]): ByPlace =>
    Object.fromEntries(Object.entries(all).filter(([n]) => !places.includes(Number(n))));
  return [
    {
      end: to.end ?? stored.end,
      waiting: { ...without(stored.waiting, to.not_waiting), ...to.waiting },
      sent: { ...without(stored.sent, to.not_sent), ...to.sent },
    },
    to.lost,
  ];
}

describe.skipIf(!coreThere)('the rules of streams', () => {
  it.each(file.records.map((r) => [r.seq, r] as const))('hashes record %i as it is described', (_, r) =>
    expect(hashOf(r)).toBe(r.hash),
  );
  it.each(file.talks.map((t, i) => [i + 1, t] as const))('goes on in talk %i as phones did before', async (_, talk) => {
    const made = await core();
    let s: Stored = { end: { stream: talk.start, seq: 0, hash: ZERO }, waiting: {}, sent: {} };
    let n = 0;
    talk.steps.forEach((step, i) => {
      if ('write' in step) [s] = done(made, s, { write: { stored: s, bodies: { [++n]: step.write } } });
      else if ('meet' in step)
        [s] = done(made, s, { meet: { stored: s, heads: step.meet, fresh: step.fresh, paired: null } });
      else {
        const batch = nextBatch(made, s, step.batch);
        expect(batch, `step ${i}`).toEqual(step.is);
        const { hear, fresh } = step;
        if (batch && hear && fresh) [s] = done(made, s, { hear: { stored: s, batch, receipt: hear, fresh } });
      }
      expect(digest(s), `step ${i}: ${JSON.stringify(step)}`).toBe(step.after);
    });
    expect(talk.steps.length).toBeGreaterThan(20);
  });
});

const event = (id: string, body: Record<string, unknown> = {}): Event => ({
  id,
  site: 's',
  by: 'a',
  at_ms: 1,
  kind: 'reading',
  body,
});
const ids = (list: { id: string }[]): string[] => list.map((e) => e.id);

const never: NonNullable<BatchReceived['why']> = {
  event: '',
  field: 'note',
  value: 'never',
  reason: { code: 'empty', unit: '', than: '', allowed: '' },
  why: 'no',
};

/** A hub that keeps streams by the rules and refuses what is named so. */
class FakeHub {
  lines = new Map<string, Rec[]>();
  events(): string[] {
    return [...new Set([...this.lines.values()].flat().map((r) => (JSON.parse(r.body) as Event).id))].sort();
  }
  heads(): End[] {
    return [...this.lines.values()]
      .flatMap((l) => l.at(-1) ?? [])
      .map((r) => ({ stream: r.stream, seq: r.seq, hash: hashOf(r) }));
  }
  take(batch: StreamBatch): BatchReceived {
    const name = `${batch.stream.device}.${batch.stream.epoch}`;
    const line = this.lines.get(name) ?? [];
    this.lines.set(name, line);
    let end: End = { stream: batch.stream, seq: batch.from - 1, hash: batch.prev };
    let accepted = 0;
    for (const body of batch.bodies) {
      let rec: Rec;
      [rec, end] = next(end, body);
      const last = line.at(-1);
      const head = last ? hashOf(last) : ZERO;
      const there = line[rec.seq - 1];
      if (rec.seq > line.length + 1) return { head: null, accepted, gap: line.length + 1 };
      if (there ? hashOf(there) !== end.hash : rec.prev !== head)
        return { head: null, accepted, fork: there ? rec.seq : line.length };
      if (body.includes('never')) return { head: null, accepted, refused: true, why: never };
      if (!there) line.push(rec);
      accepted += 1;
    }
    return { head: null, accepted };
  }
}
let made: Core | null = null;
beforeAll(async () => void (made = coreThere ? await core() : null));

class Phone {
  readonly box: Outbox;
  readonly sender: Stream;
  constructor(
    readonly shelf = new Memory(),
    hub = 'hub1',
  ) {
    this.box = new Outbox(Promise.resolve(shelf), undefined, () => made);
    this.box.hub = hub;
    this.sender = new Stream(this.box, core);
  }
  async drain(hub: FakeHub): Promise<Event[]> {
    const lost: Event[] = [];
    for (let batch = await this.sender.batch(); batch; batch = await this.sender.batch())
      lost.push(...(await this.sender.heard(batch, hub.take(batch))));
    return lost;
  }
  /** The same storage in another phone. */
  async clone(): Promise<Phone> {
    const shelf = new Memory();
    for (const area of ['outbox', 'sent', 'events', 'meta'] as const)
      await shelf.change((await this.shelf.all<object>(area)).map((put) => ({ area, put })));
    return new Phone(shelf);
  }
}

describe.skipIf(!coreThere)('the stream that a phone keeps', () => {
  it('has contiguous numbers also when two pages log at once', async () => {
    const phone = new Phone();
    const other = new Phone(phone.shelf);
    await Promise.all([phone, other, phone, other].map((p, i) => p.box.add([event(`a${i}`), event(`b${i}`)])));
    const rows = await phone.shelf.all<Waiting>('outbox');
    expect(rows.map((r) => r.seq)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    expect(new Set(rows.map((r) => r.stream?.epoch)).size).toBe(1);
    const hub = new FakeHub();
    expect(await phone.drain(hub)).toEqual([]);
    expect(hub.events()).toHaveLength(8);
    expect(await phone.box.all()).toEqual([]);
    expect((await phone.shelf.all<{ id: string }>('events')).length).toBe(8);
  });
  it('takes up entries that an earlier version kept, before what is logged now', async () => {
    const phone = new Phone();
    await phone.shelf.change(
      [1, 2].map((n) => ({ area: 'outbox', put: { hub: 'hub1', at: 5, event: event(`old${n}`) } })),
    );
    await phone.box.add([event('new1')]);
    const hub = new FakeHub();
    await phone.drain(hub);
    expect(hub.events()).toEqual(['new1', 'old1', 'old2']);
    expect([...hub.lines.values()].map((l) => l.length)).toEqual([3]);
  });
  it('sets aside what is refused with what hangs on it, and sends the rest', async () => {
    const phone = new Phone();
    await phone.box.add([event('a'), event('b', { note: 'never' }), event('c', { pour: 'b' }), event('d')]);
    const hub = new FakeHub();
    expect(ids(await phone.drain(hub))).toEqual(['b', 'c']);
    expect(hub.events()).toEqual(['a', 'd']);
    expect(hub.lines.size).toBe(2);
  });
  it('loses nothing when a phone was copied: the second goes on in a stream of its own', async () => {
    const [hub, one] = [new FakeHub(), new Phone()];
    await one.box.add([event('a')]);
    await one.drain(hub);
    await one.box.add([event('b')]);
    const two = await one.clone();
    await one.box.add([event('c1'), event('d1')]);
    await two.box.add([event('c2'), event('d2')]);
    await one.drain(hub);
    await two.drain(hub);
    expect(hub.events()).toEqual(['a', 'b', 'c1', 'c2', 'd1', 'd2']);
    expect(hub.lines.size).toBe(2);
    // One that is only behind leaves the stream to the other before it writes.
    const three = await one.clone();
    await one.box.add([event('e1')]);
    await one.drain(hub);
    await three.sender.met(hub.heads(), null);
    await three.box.add([event('e3')]);
    await three.drain(hub);
    expect(hub.events()).toContain('e3');
    expect(hub.lines.size).toBe(3);
  });
  it('fills a hub again that was set back, noticed at the meeting or by a gap', async () => {
    for (const meets of [true, false]) {
      const [hub, phone] = [new FakeHub(), new Phone()];
      await phone.box.add(['a', 'b', 'c'].map((id) => event(id)));
      await phone.drain(hub);
      for (const line of hub.lines.values()) line.length = 1;
      if (meets) await phone.sender.met(hub.heads(), null);
      else await phone.box.add([event('d')]);
      await phone.drain(hub);
      expect(hub.events()).toEqual(meets ? ['a', 'b', 'c'] : ['a', 'b', 'c', 'd']);
      expect(hub.lines.size).toBe(1);
      expect([...(await phone.sender.ids())].sort()).toEqual(hub.events());
    }
  });
  it('writes under the name of a paired device what waits, and all from then on', async () => {
    const [hub, phone] = [new FakeHub(), new Phone()];
    await phone.box.add([event('a')]);
    await phone.sender.met([], 'tablet1');
    await phone.box.add([event('b')]);
    await phone.drain(hub);
    expect(hub.events()).toEqual(['a', 'b']);
    expect([...hub.lines.keys()].map((name) => name.split('.')[0])).toEqual(['tablet1']);
  });
  it('sends another hub nothing of this one, and keeps it for this one', async () => {
    const [hub, phone] = [new FakeHub(), new Phone()];
    await phone.box.add([event('a')]);
    phone.box.hub = 'hub2';
    await phone.box.add([event('b')]);
    await phone.drain(hub);
    expect(hub.events()).toEqual(['b']);
    phone.box.hub = 'hub1';
    await phone.drain(hub);
    expect([hub.events(), [...hub.lines.values()].map((l) => l.length)]).toEqual([
      ['a', 'b'],
      [1, 1],
    ]);
  });
});
