// What was logged here and not yet taken by the hub: entries and photos, kept in this
// browser so that nothing is lost. Pure apart from the shelf handed in (tested with one in
// memory). An entry is written into this phone's stream when it is kept (streams.ts). What is
// sent when and how is in sending.ts and photos.ts.

import type { Shelf } from './db';
import type { Rec } from './streams';
import type { Event, EventError } from './types.gen';

/** An event that the hub refused, with its reason. */
export interface Refused {
  event: Event;
  error: EventError;
}

/** A photo that waits; its bytes lie beside it. */
export interface LocalPhoto {
  id: string;
  site: string;
  pour: string | null;
  /** The step, if one was said; what is not said the log finds by the time of the photo. */
  step?: string | null;
  stage?: string;
  name: string;
  type: string;
  by: string;
  /** When it was taken up, by the hub's clock as far as it is known. */
  at_ms: number;
  size: number;
  /** Why the hub refused it; empty while it waits. */
  why: string;
}

/** What is only on this phone. */
export interface Held {
  entries: number;
  photos: number;
  /** When the oldest of it was logged; 0 if there is nothing. */
  oldest: number;
  /** What was logged for another hub that had this address. */
  elsewhere: number;
}

/** An entry that waits. Without a record if an earlier version kept it: sending.ts adds that. */
export interface Waiting extends Partial<Rec> {
  hub: string;
  /** When it was logged, by the hub's clock as far as it is known. */
  at?: number;
  event: Event;
}
type PhotoRow = LocalPhoto & { hub: string };

/** Waiting events that hang on one of these. */
export function hanging(waiting: Event[], on: string[]): Event[] {
  const set = new Set(on);
  return waiting.filter((e) =>
    [e.site, e.body['pour'], e.body['flight'], e.body['target']].some((x) => typeof x === 'string' && set.has(x)),
  );
}

export class Outbox {
  /** The hub that is talked to; empty before it was ever met. */
  hub = '';

  /** `mark` remembers elsewhere what is held, to notice when a browser threw it away. */
  constructor(
    readonly shelf: Promise<Shelf>,
    private readonly mark: (held: Held) => void = () => undefined,
  ) {}

  mine = (row: { hub: string }): boolean => row.hub === '' || this.hub === '' || row.hub === this.hub;

  private async rows(): Promise<Waiting[]> {
    return (await this.shelf).all<Waiting>('outbox');
  }

  /** Waiting events for this hub, oldest first. */
  async all(): Promise<Event[]> {
    return (await this.rows()).filter(this.mine).map((r) => r.event);
  }

  /** Everything that waits, also for other hubs. */
  async everything(): Promise<Event[]> {
    return (await this.rows()).map((r) => r.event);
  }

  /** Adds events; rejects when the storage is full, so that "saved" is never said in vain. */
  async add(events: Event[], at?: number): Promise<void> {
    // Without it (a page that is older than its hub) they are kept all the same.
    const streams = await import('./streams').catch(() => null);
    await (
      await this.shelf
    ).rework(['outbox', 'meta'], [], (rows) => {
      const known = new Set(rows<Waiting>('outbox').map((r) => r.event.id));
      const fresh = events
        .filter((e) => !known.has(e.id))
        .map((event): Waiting => ({ hub: this.hub, at: at ?? event.at_ms, event }));
      return streams ? streams.written(rows('meta'), this.hub, fresh) : fresh.map((put) => ({ area: 'outbox', put }));
    });
    this.mark(await this.held());
  }

  /** Takes so many entries off; marked before, so that a page that is closed in between raises no false alarm. */
  async taking(n: number, work: () => Promise<void>): Promise<void> {
    const held = await this.held();
    this.mark({ ...held, entries: held.entries - n });
    await work();
    this.mark(await this.held());
  }

  /** Refused events that nobody has looked at yet. */
  async refused(): Promise<Refused[]> {
    return (await this.shelf).all<Refused>('refused');
  }

  /** Keeps refused events until somebody has looked at them, and takes them off the rest. */
  async setAside(list: Refused[]): Promise<void> {
    await (await this.shelf).change(list.map((r) => ({ area: 'refused', put: { id: r.event.id, ...r } })));
  }

  /** Forgets the refused events. */
  async clearRefused(): Promise<void> {
    await (await this.shelf).change([{ area: 'refused', clear: true }]);
  }

  /** Keeps a photo; rejects when there is no room. */
  async addPhoto(photo: LocalPhoto, bytes: ArrayBuffer): Promise<void> {
    await (
      await this.shelf
    ).change([
      { area: 'photos', put: { ...photo, hub: this.hub } },
      { area: 'bytes', put: { id: photo.id, bytes } },
    ]);
    this.mark(await this.held());
  }

  /** Waiting and refused photos for this hub, oldest first. */
  async photos(): Promise<LocalPhoto[]> {
    return (await (await this.shelf).all<PhotoRow>('photos')).filter(this.mine);
  }

  /** All photos, also for other hubs. */
  async everyPhoto(): Promise<LocalPhoto[]> {
    return (await this.shelf).all<PhotoRow>('photos');
  }

  async bytes(id: string): Promise<ArrayBuffer | null> {
    return (await (await this.shelf).get<{ bytes: ArrayBuffer }>('bytes', id))?.bytes ?? null;
  }

  /** Why the hub refused a photo; empty to try again. */
  async photoRefused(id: string, why: string): Promise<void> {
    const row = await (await this.shelf).get<PhotoRow>('photos', id);
    if (row) await (await this.shelf).change([{ area: 'photos', put: { ...row, why } }]);
  }

  /** Files a waiting photo elsewhere. False when it does not wait any more. */
  async photoPlaced(id: string, place: { pour: string | null; step: string | null; stage: string }): Promise<boolean> {
    const row = await (await this.shelf).get<PhotoRow>('photos', id);
    if (row) await (await this.shelf).change([{ area: 'photos', put: { ...row, ...place } }]);
    return Boolean(row);
  }

  /** The hub has it, or somebody does not want it any more. */
  async dropPhoto(id: string): Promise<void> {
    const held = await this.held();
    this.mark({ ...held, photos: Math.max(0, held.photos - 1) });
    await (
      await this.shelf
    ).change([
      { area: 'photos', drop: id },
      { area: 'bytes', drop: id },
    ]);
    this.mark(await this.held());
  }

  /** What is only on this phone. */
  async held(): Promise<Held> {
    const [rows, photos] = [await this.rows(), await (await this.shelf).all<PhotoRow>('photos')];
    const here = rows.filter(this.mine).map((r) => r.at ?? r.event.at_ms);
    const pictures = photos.filter(this.mine).map((p) => p.at_ms);
    return {
      entries: here.length,
      photos: pictures.length,
      oldest: Math.min(...here, ...pictures, Infinity) === Infinity ? 0 : Math.min(...here, ...pictures),
      elsewhere: rows.length + photos.length - here.length - pictures.length,
    };
  }

  /** Moves what an earlier version kept elsewhere; returns how many events that were. */
  async migrate(old: { getItem(key: string): string | null; removeItem(key: string): void }): Promise<number> {
    const read = <T>(key: string): T[] => {
      try {
        const kept: unknown = JSON.parse(old.getItem(key) ?? '[]');
        return Array.isArray(kept) ? (kept as T[]) : [];
      } catch {
        return [];
      }
    };
    const [events, refused] = [read<Event>('slowstone.queue'), read<Refused>('slowstone.queue.refused')];
    if (events.length > 0) await this.add(events);
    if (refused.length > 0) await this.setAside(refused);
    // Only from a shelf that lasts: the old place is better than none.
    if (!(await this.shelf).lasting) return events.length;
    for (const key of ['slowstone.queue', 'slowstone.queue.refused']) old.removeItem(key);
    return events.length;
  }
}
