// The core as the page loads it. That it gives the same bytes as the hub is asked in
// tests/e2e/wasm.mjs. Skipped where the core was not built (`cargo xtask wasm`).
// Offsets are those of the IANA time zone database.
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { coreOf, offsetMin, type Core } from '../src/lib/core';
import type { Event, EventError, SiteView } from '../src/lib/types.gen';

const at = (s: string): number => Date.parse(s);
const file = (name: string): URL => new URL(`../public/${name}`, import.meta.url);
const open = async (name: string): Promise<Core> => coreOf(await WebAssembly.compile(readFileSync(file(name))));

describe('time zones', () => {
  it('are ahead of UTC by what the IANA tables say', () => {
    expect(offsetMin('Europe/Oslo', at('2026-06-10T07:00:00Z'))).toBe(120);
    expect(offsetMin('Europe/Oslo', at('2026-11-25T23:30:00Z'))).toBe(60);
    // The clocks change at 01:00 UTC.
    expect(offsetMin('Europe/Oslo', at('2026-03-29T00:59:59.999Z'))).toBe(60);
    expect(offsetMin('Europe/Oslo', at('2026-03-29T01:00:00Z'))).toBe(120);
    expect(offsetMin('America/Denver', at('2026-06-10T07:00:00Z'))).toBe(-360);
    expect(offsetMin('Asia/Kathmandu', at('2026-06-10T07:00:00Z'))).toBe(345);
    expect(offsetMin('UTC', -1)).toBe(0);
  });
  it('are not made up', () => {
    expect(offsetMin('Mars/Base', 0)).toBeNaN();
    expect(offsetMin('Europe/Oslo', Infinity)).toBeNaN();
    expect(offsetMin('Europe/Oslo', NaN)).toBeNaN();
  });
});

describe.skipIf(!existsSync(file('core.wasm')))('the log', () => {
  const now = at('2026-06-10T07:00:00Z');
  const site = (tz: string): Event => ({
    id: 'site-0001',
    site: 'site-0001',
    by: 'Ada',
    at_ms: now,
    kind: 'site',
    body: { name: 'Landing ⛏', tz },
  });
  const look = { op: 'site', site: 'site-0001', now_ms: now };

  it('takes an event once and shows it', async () => {
    const core = await open('core.wasm');
    expect(core.ask(look)).toBeNull();
    expect(core.ask({ op: 'add', events: [site('Europe/Oslo'), site('Europe/Oslo')] })).toBe(1);
    const view = core.ask<SiteView>(look);
    expect(view.site.fact.name).toBe('Landing ⛏');
    // The zone was known: nothing is amiss.
    expect(view.problems).toEqual([]);
    expect(core.ask({ op: 'pour', site: 'site-0001', pour: 'pour-0001', now_ms: now })).toBeNull();
    expect(core.ask({ op: 'history', site: 'site-0001', record: 'site-0001' })).toHaveLength(1);
    // Another core knows nothing of it.
    expect((await open('core.wasm')).ask(look)).toBeNull();
  });
  it('refuses what cannot be, as the hub does', async () => {
    const core = await open('core.wasm');
    const check = (event: unknown): EventError | null => core.ask({ op: 'check', event });
    expect(check(site('America/Denver'))).toBeNull();
    expect(check(site('Mars/Base'))?.field).toBe('tz');
    expect(check({})?.field).toBe('id');
    expect(() => core.ask({ op: 'fly' })).toThrow(/fly/);
  });
  it('carries what is longer than its memory was', async () => {
    const core = await open('core.wasm');
    core.add([site('UTC')]);
    const body = { name: 'Long', note: 'ø'.repeat(4_000_000) };
    const long = { ...site('UTC'), id: 'flight-01', kind: 'flight', body };
    expect(core.ask<EventError>({ op: 'check', event: long }).field).toBe('body');
    expect(core.ask<SiteView>(look).site.fact.tz).toBe('UTC');
  });
});

describe.skipIf(!existsSync(file('core.wasm')))('the desk', () => {
  it('answers, and says what is wrong with a question', async () => {
    const desk = await open('core.wasm');
    const calc = (topic: string, input: object): unknown => desk.ask({ op: 'calc', topic, input });
    expect(calc('bags', { volume_l: 100, bag: { mass_kg: 30, yield_l: 14 }, waste_pct: 0 })).toMatchObject({ bags: 8 });
    expect(() => calc('bags', { volume_l: -1 })).toThrow(/volume_l/);
    expect(() => calc('moon', {})).toThrow(/topic/);
  });
});
