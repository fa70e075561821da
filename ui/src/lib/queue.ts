// Events that were logged and not yet taken by the hub, kept in this browser's storage so
// that nothing typed is lost. Pure apart from the storage handed in (tested with a map).
// What is sent when is in api.ts.

import type { Event, EventError } from './types.gen';

/** The part of `Storage` that is needed. */
export interface Shelf {
  getItem(key: string): string | null;
  setItem(key: string, value: string): void;
}

/** An event that the hub refused, with its reason. */
export interface Refused {
  event: Event;
  error: EventError;
}

function read<T>(shelf: Shelf, key: string): T[] {
  try {
    const kept: unknown = JSON.parse(shelf.getItem(key) ?? '[]');
    return Array.isArray(kept) ? (kept as T[]) : [];
  } catch {
    return [];
  }
}

export class Queue {
  constructor(
    private readonly shelf: Shelf,
    private readonly key = 'slowstone.queue',
  ) {}

  /** Waiting events, oldest first. */
  all(): Event[] {
    return read<Event>(this.shelf, this.key);
  }

  /** Adds events; throws when the storage is full, so that "kept" is never said in vain. */
  add(events: Event[]): void {
    const known = new Set(this.all().map((e) => e.id));
    this.shelf.setItem(this.key, JSON.stringify([...this.all(), ...events.filter((e) => !known.has(e.id))]));
  }

  /** Takes events off, by id. */
  drop(ids: Iterable<string>): void {
    const gone = new Set(ids);
    this.shelf.setItem(this.key, JSON.stringify(this.all().filter((e) => !gone.has(e.id))));
  }

  /** The events of the next call: what others hang on goes alone, the rest together. */
  next(most = 100): Event[] {
    const waiting = this.all();
    const alone = (e: Event): boolean => e.kind === 'site' || e.kind === 'flight' || e.kind === 'pour';
    const first = waiting[0];
    if (first && alone(first)) return [first];
    const stop = waiting.findIndex(alone);
    return waiting.slice(0, Math.min(most, stop < 0 ? waiting.length : stop));
  }

  /** Waiting events that hang on one of these. */
  hanging(on: string[]): Event[] {
    const set = new Set(on);
    return this.all().filter((e) => [e.site, e.body['pour'], e.body['flight'], e.body['target']].some((x) => typeof x === 'string' && set.has(x)));
  }

  /** Refused events that nobody has looked at yet. */
  refused(): Refused[] {
    return read<Refused>(this.shelf, `${this.key}.refused`);
  }

  /** Keeps refused events until somebody has looked at them. */
  setAside(list: Refused[]): void {
    this.shelf.setItem(`${this.key}.refused`, JSON.stringify([...this.refused(), ...list]));
  }

  /** Forgets the refused events. */
  clearRefused(): void {
    this.shelf.setItem(`${this.key}.refused`, '[]');
  }
}
