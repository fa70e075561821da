// The core with everything that this phone knows: the hub's own rules and views, so that both
// give the same answers. It runs beside the page (../lib/reckoner.ts). Loaded when it is needed;
// what is asked of it for a screen: view.ts.

import { newThread, reckonerOn, type Reckoner } from '../lib/reckoner';
import type { Event, EventError, PhotoPlace } from '../lib/types.gen';
import { outbox, shelf } from './keep';
import type { LocalPhoto } from './outbox';

/** An entry of the hub that is kept here. */
export interface Known {
  id: string;
  site: string;
  /** Place in the hub's order. */
  pos: number;
  event: Event;
}
let core: Promise<Reckoner> | null = null;

/** The core, with everything that this phone knows. */
export async function ready(): Promise<Reckoner> {
  core ??= build();
  try {
    const made = await core;
    await made.add(await outbox.all());
    return made;
  } catch (e) {
    forget();
    throw e;
  }
}

async function build(): Promise<Reckoner> {
  const rows = await (await shelf).all<Known>('events');
  const made = reckonerOn(newThread());
  for (let i = 0; i < rows.length; i += 1000) await made.add(rows.slice(i, i + 1000).map((r) => r.event));
  return made;
}

/** Begins anew with the core: something that it knew was refused. */
export function forget(): void {
  void core?.then((made) => made.end()).catch(() => undefined);
  core = null;
}

/** Tells the core of entries that came, if it is there. */
export async function learn(events: Event[]): Promise<void> {
  if (core && events.length > 0) await (await core.catch(() => null))?.add(events);
}

/** Where a photo that waits will be, by the hub's own rules. Its time is when it was taken up. */
export async function placeToBe(photo: LocalPhoto): Promise<PhotoPlace> {
  const { pour, step = null, stage = '' } = photo;
  const byPlace = pour || step ? 'stage' : 'time';
  const filing = stage ? 'hand' : byPlace;
  const body = {
    pour,
    step,
    stage,
    filing,
    taken_ms: Math.round(photo.at_ms),
    time_source: 'arrival',
    hash: '0'.repeat(64),
    bytes: 1,
    format: 'jpeg',
  };
  return (await ready()).ask<PhotoPlace>({ op: 'place', site: photo.site, photo: body });
}

/** Why events cannot be, by the hub's own rules. */
export async function check(events: Event[]): Promise<EventError[]> {
  const made = await ready();
  const why = await Promise.all(events.map((event) => made.ask<EventError | null>({ op: 'check', event })));
  return why.filter((error) => error !== null);
}
