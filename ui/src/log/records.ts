// How records of this phone's own streams are kept, and the questions to the core about them.
// The rules themselves are the hub's own (src-tauri/crates/sync), in the core of the browser
// (src-tauri/crates/wasm/src/phone.rs): what is stored goes in, what is to be changed comes
// back, in one step of the database. What is sent when: send.ts.

import type { Core } from '../lib/core';
import type { StreamBatch, BatchReceived, StreamHead, StreamId } from '../lib/routes.gen';
import type { Event } from '../lib/types.gen';
import type { Edit } from './shelf';

/** One record; the body is hashed and sent exactly as it stands here. */
export interface Rec {
  stream: StreamId;
  seq: number;
  prev: string;
  body: string;
}

/** The end of the stream that is written: `seq` 0 before the first record. */
export type End = StreamHead;

/** An entry that waits. Without a record if the core was not there when it was kept. */
export interface Waiting extends Partial<Rec> {
  /** Place among everything that was written here. */
  n?: number;
  hub: string;
  /** When it was logged, by the hub's clock as far as it is known. */
  at?: number;
  event: Event;
}

/** Records by their places. */
export type ByPlace = Record<string, Rec>;

/** What the core is asked to work on. */
export interface Stored {
  end: End;
  waiting: ByPlace;
  sent: ByPlace;
}

/** What is asked about it. */
export type Work =
  | { write: { stored: Stored; bodies: Record<string, string> } }
  | { hear: { stored: Stored; batch: StreamBatch; receipt: BatchReceived; fresh: StreamId } }
  | { meet: { stored: Stored; heads: StreamHead[]; fresh: StreamId; paired: StreamId | null } };

/** What is to be changed in it. */
export interface Changes {
  end: End | null;
  waiting: ByPlace;
  sent: ByPlace;
  not_waiting: number[];
  not_sent: number[];
  /** The entry that the hub refused, and then those that hang on it. */
  lost: Event[];
}

/** What follows from something that happened, by the rules of the streams. */
export const changes = (core: Core, work: Work): Changes => core.ask<Changes>({ op: 'outbox', work });

/** What is to be sent next; null when nothing waits. */
export const nextBatch = (core: Core, stored: Stored, most: number): StreamBatch | null =>
  core.ask<StreamBatch | null>({ op: 'outbox', work: { batch: { stored, most } } });

/** A name of 20 random characters of `0-9a-z`. */
export function randomName(): string {
  const digits = '0123456789abcdefghijklmnopqrstuv';
  return [...crypto.getRandomValues(new Uint8Array(20))].map((b) => digits[b & 31]).join('');
}

/** The row under which the end of the stream for a hub is kept. */
type EndRow = End & { id: string };
const endId = (hub: string): string => `stream:${hub}`;

/** The end of the stream that is written for a hub; a new one if nothing was written yet. */
export function endIn(meta: object[], hub: string): End {
  const row = (meta as EndRow[]).find((r) => r.id === endId(hub));
  if (row) return { stream: row.stream, seq: row.seq, hash: row.hash };
  const stream = { device: deviceIn(meta) || `p${randomName()}`, epoch: randomName() };
  return { stream, seq: 0, hash: '0'.repeat(64) };
}

/** The name of this device; empty if it has none yet. */
export const deviceIn = (meta: object[]): string =>
  (meta as { id: string; device?: string }[]).find((r) => r.id === 'device')?.device ?? '';

/** How the end is kept. */
export const keepEnd = (hub: string, end: End): Edit[] => [
  { area: 'meta', put: { id: endId(hub), ...end } },
  { area: 'meta', put: { id: 'device', device: end.stream.device } },
];

/** Writes entries at the end of the stream for a hub; gives all that is to be kept. */
export function written(core: Core, meta: object[], hub: string, rows: Waiting[]): Edit[] {
  if (rows.length === 0) return [];
  const stored = { end: endIn(meta, hub), waiting: {}, sent: {} };
  // Where they will lie is known to the database alone: here they go by their order.
  const bodies = Object.fromEntries(rows.map((row, i) => [i + 1, JSON.stringify(row.event)]));
  const { waiting, end } = changes(core, { write: { stored, bodies } });
  const edits = rows.map((row, i): Edit => ({ area: 'outbox', put: { ...row, ...waiting[i + 1] } }));
  return [...edits, ...keepEnd(hub, end ?? stored.end)];
}
