// The core of the hub in this browser: loads /core.wasm and asks it questions, JSON in,
// JSON out. The other side is src-tauri/crates/wasm/src/abi.rs. It has no clock and no time
// zones of its own: questions bring `now_ms`, and zones come from Intl. What is asked when
// the hub is away: ../log/view.ts.

import type { Event } from './types.gen';

interface Exports {
  memory: WebAssembly.Memory;
  core_alloc(len: number): number;
  core_free(at: number, len: number): void;
  core_call(at: number, len: number): bigint;
}

/** A core with what it was told so far. */
export interface Core {
  /** Asks; throws with the core's own words when it refuses. */
  ask<T>(question: object): T;
  /** Tells it events; those that it knows already change nothing. */
  add(events: Event[]): void;
}

const zones = new Map<string, Intl.DateTimeFormat | null>();

function zone(name: string): Intl.DateTimeFormat | null {
  let found = zones.get(name);
  if (found === undefined) {
    try {
      found = new Intl.DateTimeFormat('en-US', {
        timeZone: name,
        hourCycle: 'h23',
        era: 'short',
        year: 'numeric',
        month: 'numeric',
        day: 'numeric',
        hour: 'numeric',
        minute: 'numeric',
        second: 'numeric',
      });
    } catch {
      found = null;
    }
    zones.set(name, found);
  }
  return found;
}

/** Minutes ahead of UTC in a time zone at an instant; NaN if there is no such zone. */
export function offsetMin(name: string, ms: number): number {
  const format = zone(name);
  if (!format || !(Math.abs(ms) <= 8.64e15)) return NaN;
  const p: Record<string, string> = {};
  for (const { type, value } of format.formatToParts(ms)) p[type] = value;
  const n = (key: string): number => Number(p[key]);
  // A date before the year 100 would be taken for one of 19xx.
  const local = new Date(0);
  local.setUTCFullYear(p['era'] === 'BC' ? 1 - n('year') : n('year'), n('month') - 1, n('day'));
  local.setUTCHours(n('hour'), n('minute'), n('second'));
  return Math.round((local.getTime() - Math.floor(ms / 1000) * 1000) / 60_000);
}

let compiled: Promise<WebAssembly.Module> | null = null;

async function compile(): Promise<WebAssembly.Module> {
  const answer = await fetch('/core.wasm');
  if (!answer.ok) throw new Error(`/core.wasm: ${answer.status}`);
  return WebAssembly.compile(await answer.arrayBuffer());
}

/** A new core that knows nothing yet. */
export async function loadCore(): Promise<Core> {
  compiled ??= compile();
  let made: WebAssembly.Module;
  try {
    made = await compiled;
  } catch (e) {
    compiled = null;
    throw e;
  }
  return coreOf(made);
}

/** A core of a compiled module. */
export async function coreOf(module: WebAssembly.Module): Promise<Core> {
  // eslint-disable-next-line prefer-const -- what is imported below reads it once it is there
  let core: Exports;
  const text = (at: number, len: number): string =>
    new TextDecoder().decode(new Uint8Array(core.memory.buffer, at >>> 0, len >>> 0));
  const instance = await WebAssembly.instantiate(module, {
    page: { zone_offset_min: (at: number, len: number, atMs: number): number => offsetMin(text(at, len), atMs) },
  });
  core = instance.exports as unknown as Exports;

  function ask<T>(question: object): T {
    const bytes = new TextEncoder().encode(JSON.stringify(question));
    const at = core.core_alloc(bytes.length);
    new Uint8Array(core.memory.buffer, at >>> 0, bytes.length).set(bytes);
    const there = BigInt.asUintN(64, core.core_call(at, bytes.length));
    const [from, len] = [Number(there >> 32n), Number(there & 0xffffffffn)];
    const answer = JSON.parse(text(from, len)) as { ok: T } | { error: { code: string; text: string } };
    core.core_free(from, len);
    if ('error' in answer) throw new Error(`${answer.error.code}: ${answer.error.text}`);
    return answer.ok;
  }
  return {
    ask,
    add: (events) => {
      if (events.length > 0) ask({ op: 'add', events });
    },
  };
}
