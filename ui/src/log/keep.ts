// What this page keeps: the shelf of this browser, the outbox on it, the stream of this phone,
// and the core that knows the rules of streams. One of each; what is done with them is in the
// files beside.

import { app } from '../lib/app.svelte';
import type { Core } from '../lib/core';
import { Outbox, type Held } from './outbox';
import { openShelf } from './shelf';
import { Stream } from './stream';

export const shelf = openShelf();

let core: Core | null = null;
let loading: Promise<Core> | null = null;

/** The core of this page, which works within one step of the database; loaded when first asked. */
export function rules(): Promise<Core> {
  loading ??= import('../lib/core')
    .then((it) => it.loadCore())
    .then((made) => (core = made))
    .catch((e: unknown) => {
      loading = null;
      throw e;
    });
  return loading;
}

export const outbox = new Outbox(shelf, remember, () => core);
export const stream = new Stream(outbox, rules);

/** Notes outside of the database what it holds, to notice when the browser threw it away. */
function remember(held: Held): void {
  try {
    localStorage.setItem('slowstone.held', JSON.stringify(held));
  } catch {
    // Without the note a loss would not be noticed; nothing else depends on it.
  }
}

/** Looks anew at what waits on this phone. */
export async function count(): Promise<void> {
  app.held = await outbox.held();
  app.refused = await outbox.refused();
  app.photos = await outbox.photos();
  app.unsent = new Set((await outbox.all()).flatMap((e) => [e.id, e.site]));
}

/** Work that only one page of this browser does at a time. */
export async function alone<T>(name: string, work: () => Promise<T>): Promise<T> {
  // No locks where the connection is not secure; sending twice does no harm.
  return navigator.locks ? (navigator.locks.request(`slowstone-${name}`, work) as Promise<T>) : work();
}
