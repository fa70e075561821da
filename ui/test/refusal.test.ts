// A refused value is told with its bounds in the reader's language and the units of the site.
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it, vi } from 'vitest';
import type { Misfit } from '../src/lib/types.gen';
import { bundleOf } from '../src/lib/words';

const misfit = (given: Partial<Misfit>): Misfit => ({
  code: 'out_of_range',
  unit: '',
  than: '',
  allowed: '',
  ...given,
});

describe('in German', () => {
  let refusal: typeof import('../src/lib/refusal');
  beforeAll(async () => {
    vi.stubGlobal('navigator', { languages: ['de-DE'] });
    vi.stubGlobal('localStorage', { getItem: () => null, setItem: () => undefined });
    vi.stubGlobal('location', { pathname: '/', search: '' });
    vi.resetModules();
    const folder = join(import.meta.dirname, '../src/words/de');
    const all = readdirSync(folder)
      .map((f) => readFileSync(join(folder, f), 'utf8'))
      .join('\n');
    vi.stubGlobal('fetch', () => Promise.resolve(new Response(all)));
    await (await import('../src/lib/words')).loadWords();
    refusal = await import('../src/lib/refusal');
  });

  it('bounds have the comma and the unit of the site', () => {
    const range = { field: 'depth_m', value: '90', reason: misfit({ min: 0.05, max: 20, unit: 'm' }) };
    expect(refusal.why(range)).toBe('Muss zwischen 50\u00a0mm und 20000\u00a0mm liegen.');
    const bags = { field: 'bags', value: '0', reason: misfit({ min: 0.05, max: 200, unit: 'bags' }) };
    expect(refusal.line(bags)).toBe('Nicht angenommen. Säcke: Muss zwischen 0,05 und 200 liegen.');
    const warm = { field: 'air_c', value: '99', reason: misfit({ min: -40, max: 60, unit: '°C' }) };
    expect(refusal.why(warm, 'us')).toBe('Muss zwischen -40\u00a0°F und 140\u00a0°F liegen.');
  });
  it('times are days, not milliseconds', () => {
    const early = {
      field: 'started_ms',
      value: '5',
      reason: misfit({ min: 946_684_800_000, max: 4_102_444_800_000, unit: 'ms' }),
    };
    expect(refusal.why(early)).toBe('Muss zwischen 1.1.2000 und 1.1.2100 liegen.');
  });
  it('the other field is named', () => {
    const below = {
      field: 'water_max_l',
      value: '1',
      reason: misfit({ code: 'below_other', min: 2.5, than: 'water_min_l' }),
    };
    expect(refusal.why(below)).toBe('Darf nicht unter „Wenigstes Wasser je Sack“ (2,5\u00a0L) liegen.');
  });
  it('no reason is left in English', () => {
    const types = readFileSync(join(import.meta.dirname, '../src/lib/types.gen.ts'), 'utf8');
    const codes = [...(/export type MisfitCode = ([^;]*);/.exec(types)?.[1] ?? '').matchAll(/"(\w+)"/g)].map(
      (m) => m[1] ?? '',
    );
    const english = bundleOf(readFileSync(join(import.meta.dirname, '../src/words/en/refused.ftl'), 'utf8'), 'en');
    expect(codes.length).toBeGreaterThan(40);
    for (const code of codes) {
      const said = refusal.why({
        field: 'bag_kg',
        value: '',
        reason: misfit({ code: code as Misfit['code'], min: 1, max: 2, than: 'class_mpa' }),
      });
      const args = { min: '1\u00a0kg', max: '2\u00a0kg', than: 'x' };
      const pattern = english.getMessage(`misfit-${code}`)?.value;
      expect(pattern, code).toBeTruthy();
      expect(said, code).not.toContain('misfit-');
      expect(said, code).not.toBe(english.formatPattern(pattern!, args, []));
    }
  });
  it('what nobody knows a word for is still said', () => {
    expect(
      refusal.line({ field: 'surprise', value: '1', reason: misfit({ code: 'unknown_field', allowed: 'name, note' }) }),
    ).toContain('Ein Wert: Ist hier nicht bekannt');
    expect(refusal.why({ field: 'bag_kg', value: '0' })).toBe('Ist nicht zu lesen.');
  });
});
