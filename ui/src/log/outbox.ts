// What was logged here and not yet taken by the hub: entries and photos, kept in this
// browser so that nothing is lost. Pure apart from the shelf and the core handed in (tested with
// a shelf in memory). An entry is written into this phone's stream when it is kept, or when it is
// sent if the core was not there yet (records.ts). What is sent when: send.ts and photos.ts.

import type { Core } from '../lib/core';
import type { Event, EventError } from '../lib/types.gen';
import { written, type Waiting } from './records';
import type { Shelf } from './shelf';

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

type PhotoRow = LocalPhoto & { hub: string };

export class Outbox {
  /** The hub that is talked to; empty before it was ever met. */
  hub = '';

  /**
   * `mark` remembers elsewhere what is held, to notice when a browser threw it away; `core` is
   * there or not: nobody waits for it when something is logged.
   */
  constructor(
    readonly shelf: Promise<Shelf>,
    private readonly mark: (held: Held) => void = () => undefined,
    private readonly core: () => Core | null = () => null,
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
    const core = this.core();
    await (
      await this.shelf
    ).rework(['outbox', 'meta'], [], (rows) => {
      const known = new Set(rows<Waiting>('outbox').map((r) => r.event.id));
      const fresh = events
        .filter((e) => !known.has(e.id))
        .map((event): Waiting => ({ hub: this.hub, at: at ?? event.at_ms, event }));
      return core ? written(core, rows('meta'), this.hub, fresh) : fresh.map((put) => ({ area: 'outbox', put }));
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
