// What this phone does with a stream of its own: writes, sends, hears the answer, goes on.
// The same rules as `sync/src/outbox.rs`, where they are told at length; both are held
// against tests/data/streams.json. Pure; what is kept where is in queue.ts and sending.ts.
// Loaded when something is logged.

import { blake3 } from '@noble/hashes/blake3.js';
import { bytesToHex, hexToBytes } from '@noble/hashes/utils.js';
import type { Edit } from './db';
import type { Waiting } from './queue';

export interface StreamId {
  device: string;
  epoch: string;
}
/** One record; the body is hashed and sent exactly as it stands here. */
export interface Rec {
  /** Place among everything that was written here. */
  n?: number;
  stream: StreamId;
  seq: number;
  prev: string;
  body: string;
}
/** The end of the stream that is written: `seq` 0 before the first record. */
export interface End {
  stream: StreamId;
  seq: number;
  hash: string;
}
export interface Batch {
  stream: StreamId;
  from: number;
  prev: string;
  bodies: string[];
}
/** What became of a batch. */
export interface Receipt {
  head: End | null;
  accepted: number;
  gap?: number;
  fork?: number;
  refused?: boolean;
}

export const ZERO = '0'.repeat(64);
const MAX_BATCH = 500;
const BATCH_BYTES = 256 * 1024;
const text = new TextEncoder();
const same = (a: StreamId, b: StreamId): boolean => a.device === b.device && a.epoch === b.epoch;

function u64(n: number): Uint8Array {
  const bytes = new Uint8Array(8);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, n % 2 ** 32, true);
  view.setUint32(4, Math.floor(n / 2 ** 32), true);
  return bytes;
}

/** The hash of a record, as `Record::hash` in sync/src/record.rs. */
export function hashOf({ stream, seq, prev, body }: Rec): string {
  const hasher = blake3.create();
  for (const field of [
    text.encode('slowstone record 1'),
    text.encode(stream.device),
    text.encode(stream.epoch),
    u64(seq),
    hexToBytes(prev),
    text.encode(body),
  ]) {
    hasher.update(u64(field.length)).update(field);
  }
  return bytesToHex(hasher.digest());
}

/** A stream that has no record yet. */
export const start = (stream: StreamId): End => ({ stream, seq: 0, hash: ZERO });

/** The next record of a stream, and its new end. */
export function next(end: End, body: string): [Rec, End] {
  const rec = { stream: end.stream, seq: end.seq + 1, prev: end.hash, body };
  return [rec, { stream: end.stream, seq: rec.seq, hash: hashOf(rec) }];
}

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
  const kept = (meta as EndRow[]).find((r) => r.id === endId(hub));
  if (kept) return { stream: kept.stream, seq: kept.seq, hash: kept.hash };
  return start({ device: deviceIn(meta) || `p${randomName()}`, epoch: randomName() });
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
export function written(meta: object[], hub: string, rows: Waiting[]): Edit[] {
  if (rows.length === 0) return [];
  let end = endIn(meta, hub);
  const edits = rows.map((row): Edit => {
    let rec;
    [rec, end] = next(end, JSON.stringify(row.event));
    return { area: 'outbox', put: { ...row, ...rec } };
  });
  return [...edits, ...keepEnd(hub, end)];
}

/** Own records: what waits and what the hub has acknowledged, by place. */
export class Stream<R extends Rec & { n: number }> {
  constructor(
    public end: End,
    readonly waiting: Map<number, R>,
    readonly sent: Map<number, R>,
  ) {}

  private of(shelf: Map<number, R>, stream: StreamId): R[] {
    return [...shelf.values()].filter((r) => same(r.stream, stream)).sort((a, b) => a.n - b.n);
  }

  /** What is to be sent next; null when nothing waits. */
  batch(most: number): Batch | null {
    const first = [...this.waiting.values()].sort((a, b) => a.n - b.n)[0];
    if (!first) return null;
    const line = this.of(this.waiting, first.stream).sort((a, b) => a.seq - b.seq);
    const bodies: string[] = [];
    let bytes = 0;
    const { seq: from, prev } = line[0] ?? first;
    for (const rec of line) {
      bytes += text.encode(rec.body).length;
      const full = bodies.length >= Math.min(Math.max(most, 1), MAX_BATCH) || bytes > BATCH_BYTES;
      if (rec.seq !== from + bodies.length || (full && bodies.length > 0)) break;
      bodies.push(rec.body);
    }
    return { stream: first.stream, from, prev, bodies };
  }

  /** Hears what became of a batch; gives what the hub refused. `fresh` is a new stream. */
  hear(batch: Batch, receipt: Receipt, fresh: StreamId): R | null {
    const { stream, from } = batch;
    const stop = from + receipt.accepted;
    for (const rec of this.of(this.waiting, stream)) {
      if (rec.seq >= from && rec.seq < stop) {
        this.waiting.delete(rec.n);
        this.sent.set(rec.n, rec);
      }
    }
    if (receipt.gap !== undefined && receipt.gap < from) {
      this.putBack(stream, receipt.gap);
      const seqs = this.of(this.waiting, stream).map((r) => r.seq);
      if (Math.min(...seqs) !== receipt.gap) this.rewrite(stream, fresh);
    } else if (receipt.fork !== undefined) {
      // Where the histories part is seen when all of it is sent again.
      if (receipt.fork < from && this.of(this.sent, stream).some((r) => r.seq < from)) this.putBack(stream, 0);
      else this.rewrite(stream, fresh);
    } else if (receipt.refused) {
      const refused = this.of(this.waiting, stream).find((r) => r.seq === stop);
      if (!refused) return null;
      this.drop(refused, fresh);
      return refused;
    }
    return null;
  }

  /** Takes one that waits out; what was behind it is written once more. */
  drop(rec: R, fresh: StreamId): void {
    this.waiting.delete(rec.n);
    this.rewrite(rec.stream, fresh);
  }

  /** Compares with the heads of this device at the hub: what it lost is sent again. */
  meet(theirs: End[], fresh: StreamId): void {
    const streams = [...this.sent.values()].map((r) => r.stream).filter((s) => s.device === this.end.stream.device);
    streams.push(this.end.stream);
    const seen = new Set<string>();
    for (const stream of streams) {
      const name = `${stream.device}.${stream.epoch}`;
      if (seen.has(name)) continue;
      seen.add(name);
      const head = theirs.find((h) => same(h.stream, stream));
      const here =
        head &&
        [...this.sent.values(), ...this.waiting.values()].find((r) => same(r.stream, stream) && r.seq === head.seq);
      // Parted, or another copy of this phone went farther: only sending all of it tells whether it began as here.
      this.putBack(stream, head && here && hashOf(here) === head.hash ? head.seq + 1 : 0);
      if (head && same(stream, this.end.stream) && head.seq > this.end.seq) this.end = start(fresh);
    }
  }

  private putBack(stream: StreamId, from: number): void {
    for (const rec of this.of(this.sent, stream)) {
      if (rec.seq < from) continue;
      this.sent.delete(rec.n);
      this.waiting.set(rec.n, rec);
    }
  }

  /** Writes what waits of a stream once more: in a new one if it is the present one. */
  rewrite(stream: StreamId, fresh: StreamId): void {
    if (same(stream, this.end.stream)) this.end = start(fresh);
    for (const old of this.of(this.waiting, stream)) {
      const [rec, end] = next(this.end, old.body);
      this.waiting.set(old.n, { ...old, ...rec });
      this.end = end;
    }
  }
}
