// The stream of this phone in what it keeps: the next batch out of the outbox, and what follows
// from the hub's answer, each in one step, so that two pages of one phone may do it at once.
// What follows is asked of the core (records.ts); calling the hub is in send.ts.

import type { Core } from '../lib/core';
import type { BatchReceived, StreamBatch, StreamHead, StreamId } from '../lib/routes.gen';
import type { Event } from '../lib/types.gen';
import type { Outbox } from './outbox';
import {
  changes,
  deviceIn,
  endIn,
  keepEnd,
  nextBatch,
  randomName,
  written,
  type ByPlace,
  type Rec,
  type Stored,
  type Waiting,
  type Work,
} from './records';
import type { Edit, Rows } from './shelf';

/** Records of one call. */
const MOST = 100;

/** A record with its place, and for which hub it is. */
type Own = Rec & { n: number; hub: string; at?: number; event?: Event };

/** The record alone, as the core knows it. */
const plain = ({ stream, seq, prev, body }: Rec): Rec => ({ stream, seq, prev, body });

/** The stream of this phone, in what it keeps. */
export class Stream {
  constructor(
    private readonly box: Outbox,
    private readonly rules: () => Promise<Core>,
  ) {}

  private own(rows: Rows, area: 'outbox' | 'sent'): Map<number, Own> {
    const all = rows<Own>(area).filter((r) => this.box.mine(r) && r.stream);
    return new Map(all.map((r) => [r.n, r]));
  }

  /** Works on the stream in one step; gives the entries that were lost by it. `sent` is read only where it matters. */
  private async work(withSent: boolean, ask: (stored: Stored, fresh: StreamId) => Work): Promise<Event[]> {
    const core = await this.rules();
    const { hub } = this.box;
    const read = withSent ? (['outbox', 'meta', 'sent'] as const) : (['outbox', 'meta'] as const);
    let lost: Event[] = [];
    const shelf = await this.box.shelf;
    await shelf.rework([...read], ['sent', 'events'], (rows) => {
      const waiting = this.own(rows, 'outbox');
      const sent = withSent ? this.own(rows, 'sent') : new Map<number, Own>();
      const byPlace = (all: Map<number, Own>): ByPlace =>
        Object.fromEntries([...all].map(([n, row]) => [n, plain(row)]));
      const end = endIn(rows('meta'), hub);
      const stored = { end, waiting: byPlace(waiting), sent: byPlace(sent) };
      const to = changes(core, ask(stored, { device: end.stream.device, epoch: randomName() }));
      lost = to.lost;
      const edits: Edit[] = [];
      for (const [place, rec] of Object.entries(to.waiting)) {
        const n = Number(place);
        const row = waiting.get(n) ?? sent.get(n);
        const event = row?.event ?? (JSON.parse(rec.body) as Event);
        edits.push({ area: 'outbox', put: { ...row, n, hub: row?.hub ?? hub, ...rec, event } });
      }
      for (const [place, rec] of Object.entries(to.sent)) {
        const n = Number(place);
        const before: Partial<Own> = waiting.get(n) ?? { n };
        const { event = JSON.parse(rec.body) as Event, ...row } = before;
        edits.push(
          { area: 'sent', put: { ...row, ...rec, hub } },
          { area: 'events', put: { id: event.id, site: event.site, pos: Number.MAX_SAFE_INTEGER, event } },
        );
      }
      for (const drop of to.not_waiting) edits.push({ area: 'outbox', drop });
      for (const drop of to.not_sent) edits.push({ area: 'sent', drop });
      if (to.end) edits.push(...keepEnd(hub, to.end));
      return edits;
    });
    return lost;
  }

  /** The next batch; null when nothing waits. Entries that are in no stream yet are written first. */
  async batch(): Promise<StreamBatch | null> {
    const core = await this.rules();
    const shelf = await this.box.shelf;
    let batch: StreamBatch | null = null;
    const { hub, mine } = this.box;
    await shelf.rework(['outbox', 'meta'], [], (rows) => {
      const fresh = rows<Waiting>('outbox').filter((r) => mine(r) && !r.stream);
      return written(core, rows('meta'), hub, fresh);
    });
    await shelf.rework(['outbox', 'meta'], [], (rows) => {
      const waiting = [...this.own(rows, 'outbox')].map(([n, row]) => [n, plain(row)]);
      const stored = { end: endIn(rows('meta'), hub), waiting: Object.fromEntries(waiting) as ByPlace, sent: {} };
      batch = nextBatch(core, stored, MOST);
      return [];
    });
    return batch;
  }

  /** Hears what became of a batch. Gives the event that was refused and those that hang on it. */
  async heard(batch: StreamBatch, receipt: BatchReceived): Promise<Event[]> {
    const { head, accepted, gap, fork, refused } = receipt;
    const plainly = {
      head,
      accepted,
      ...(gap === undefined ? {} : { gap }),
      ...(fork === undefined ? {} : { fork }),
      ...(refused ? { refused } : {}),
    };
    let lost: Event[] = [];
    const parted = receipt.gap !== undefined || receipt.fork !== undefined;
    await this.box.taking(receipt.accepted + (receipt.refused ? 1 : 0), async () => {
      lost = await this.work(parted, (stored, fresh) => ({ hear: { stored, batch, receipt: plainly, fresh } }));
    });
    return lost;
  }

  /** Compares with what a hub has of this device. `paired` is the name that it knows it by. */
  async met(heads: StreamHead[], paired: string | null): Promise<void> {
    await this.work(true, (stored, fresh) => {
      const own = paired ? { device: paired, epoch: randomName() } : null;
      return { meet: { stored, heads, fresh, paired: own } };
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
