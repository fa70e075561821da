// The stream of this phone in what it keeps: the next batch out of the outbox, and what
// follows from the hub's answer, each in one step, so that two pages of one phone may do it
// at once. What follows is in streams.ts; calling the hub is in sending.ts.

import type { Edit } from './db';
import { hanging, type Outbox, type Waiting } from './queue';
import {
  deviceIn,
  endIn,
  keepEnd,
  randomName,
  Stream,
  written,
  type Batch,
  type End,
  type Rec,
  type Receipt,
  type StreamId,
} from './streams';
import type { Event, EventError } from './types.gen';

/** Records of one call. */
const MOST = 100;

/** A record with its place, and for which hub it is. */
type Own = Rec & { n: number; hub: string; at?: number; event?: Event };

/** What the hub answers to a batch. */
export type Answer = Receipt & { why?: EventError };

/** The stream of this phone, in what it keeps. */
export class Sender {
  constructor(private readonly box: Outbox) {}

  /** Works on the stream in one step; `sent` is read only where it matters. */
  private async work(
    withSent: boolean,
    on: (stream: Stream<Own>, fresh: () => StreamId, meta: object[]) => Edit[] | void,
  ): Promise<void> {
    const { hub, mine } = this.box;
    const read = withSent ? (['outbox', 'meta', 'sent'] as const) : (['outbox', 'meta'] as const);
    await (
      await this.box.shelf
    ).rework([...read], ['sent', 'events'], (rows) => {
      const map = (area: 'outbox' | 'sent'): Map<number, Own> =>
        new Map(
          rows<Own>(area)
            .filter((r) => mine(r) && r.stream)
            .map((r) => [r.n, r]),
        );
      const [waiting, sent] = [map('outbox'), withSent ? map('sent') : new Map<number, Own>()];
      const end = endIn(rows('meta'), hub);
      const stream = new Stream<Own>(end, new Map(waiting), new Map(sent));
      const edits = on(stream, () => ({ device: stream.end.stream.device, epoch: randomName() }), rows('meta')) ?? [];
      for (const [n, row] of stream.waiting) {
        if (waiting.get(n) !== row)
          edits.push({ area: 'outbox', put: { ...row, event: row.event ?? (JSON.parse(row.body) as Event) } });
      }
      for (const [n, row] of stream.sent) {
        if (sent.get(n) === row) continue;
        const { event = JSON.parse(row.body) as Event, ...rest } = row;
        edits.push(
          { area: 'sent', put: { ...rest, hub } },
          { area: 'events', put: { id: event.id, site: event.site, pos: Number.MAX_SAFE_INTEGER, event } },
        );
      }
      for (const n of waiting.keys()) if (!stream.waiting.has(n)) edits.push({ area: 'outbox', drop: n });
      for (const n of sent.keys()) if (!stream.sent.has(n)) edits.push({ area: 'sent', drop: n });
      if (stream.end !== end) edits.push(...keepEnd(hub, stream.end));
      return edits;
    });
  }

  /** The next batch; null when nothing waits. Entries of an earlier version are written first. */
  async batch(): Promise<Batch | null> {
    await (
      await this.box.shelf
    ).rework(['outbox', 'meta'], [], (rows) =>
      written(
        rows('meta'),
        this.box.hub,
        rows<Waiting>('outbox').filter((r) => this.box.mine(r) && !r.stream),
      ),
    );
    let batch: Batch | null = null;
    await this.work(false, (stream) => void (batch = stream.batch(MOST)));
    return batch;
  }

  /** Hears what became of a batch. Gives the event that was refused and those that hang on it. */
  async heard(batch: Batch, receipt: Receipt): Promise<Event[]> {
    let lost: Event[] = [];
    const work = (): Promise<void> =>
      this.work(receipt.gap !== undefined || receipt.fork !== undefined, (stream, fresh) => {
        const refused = stream.hear(batch, receipt, fresh());
        if (!refused?.event) return;
        lost = [refused.event];
        const rest = [...stream.waiting.values()];
        const events = rest.flatMap((r) => r.event ?? []);
        const out = new Set(hanging(events, [refused.event.id]));
        for (const row of rest) {
          const now = stream.waiting.get(row.n);
          if (!row.event || !out.has(row.event) || !now) continue;
          lost.push(row.event);
          stream.drop(now, fresh());
        }
      });
    await this.box.taking(receipt.accepted + (receipt.refused ? 1 : 0), work);
    return lost;
  }

  /** Compares with what a hub has of this device. `paired` is the name that it knows it by. */
  async met(heads: End[], paired: string | null): Promise<void> {
    await this.work(true, (stream, fresh) => {
      stream.meet(heads, fresh());
      if (!paired || stream.end.stream.device === paired) return;
      const own = { device: paired, epoch: randomName() };
      const others = [...stream.waiting.values()].map((r) => r.stream).filter((s) => s.device !== paired);
      for (const other of [stream.end.stream, ...others]) stream.rewrite(other, own);
    });
  }

  /** Ids of own entries that go by the stream: nobody else has to send them for this phone. */
  async ids(): Promise<Set<string>> {
    const shelf = await this.box.shelf;
    const device = deviceIn(await shelf.all('meta'));
    const sent = (await shelf.all<Own>('sent')).filter((r) => this.box.mine(r) && r.stream.device === device);
    return new Set([...(await this.box.all()).map((e) => e.id), ...sent.map((r) => (JSON.parse(r.body) as Event).id)]);
  }
}
