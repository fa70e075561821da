// Units: factors of the international yard and pound (1959) and NIST SP 811, and lengths as
// people write them.
import { describe, expect, it } from 'vitest';
import { inches, parse, show, tidy, toField, toKept, toShown, quantityOf, type Quantity } from '../src/lib/units';
import { readNumber } from '../src/lib/limits';
import { LIMITS } from '../src/lib/types.gen';

describe('lengths', () => {
  it('takes a written unit over the unit of the site', () => {
    expect(parse('150 mm', 'length', 'us')).toBeCloseTo(0.15, 12);
    expect(parse('150', 'length', 'metric')).toBeCloseTo(0.15, 12);
    expect(parse('48', 'length', 'us')).toBeCloseTo(1.2192, 12);
    expect(parse(`5 1/2"`, 'length', 'metric')).toBeCloseTo(0.1397, 12);
    expect(parse('3/4', 'small', 'us')).toBeCloseTo(19.05, 9);
    expect(parse('1.2 m', 'length', 'us')).toBeCloseTo(1.2, 12);
    expect(parse('20 kg', 'length', 'metric')).toBeNull();
  });
  it('reads thousands as the reader writes them', () => {
    expect(parse('1,200', 'length', 'metric', 'en-GB')).toBeCloseTo(1.2, 12);
    expect(parse('1.200', 'length', 'metric', 'de')).toBeCloseTo(1.2, 12);
    expect(parse('1,2 m', 'length', 'metric', 'de')).toBeCloseTo(1.2, 12);
    expect(parse('0,350 m', 'length', 'metric', 'en')).toBeCloseTo(0.35, 12);
  });
  it('writes sixteenths, and feet from two feet on', () => {
    expect(inches(5.5)).toBe('5 1/2"');
    expect(inches(75)).toBe(`6'-3"`);
    expect(inches(0.25)).toBe('1/4"');
    expect(inches(0)).toBe('0"');
    expect(inches(47.99)).toBe(`4'-0"`);
  });
});

describe('values', () => {
  // NIST SP 811, appendix B.
  it.each<[string, Quantity, number]>([
    ['70', 'temp', 21.1111111],
    ['32', 'temp', 0],
    ['-40', 'temp', -40],
    ['80', 'mass', 36.2873896],
    ['1', 'water', 0.946352946],
    ['0.60', 'volume', 16.990108],
    ['1000', 'strength', 6.89475729],
    ['10', 'speed', 16.09344],
    ['1', 'grams', 28.349523125],
  ])('%s in US %s', (text, q, kept) => expect(parse(text, q, 'us')).toBeCloseTo(kept, 6));
  it('reads a temperature with its sign on either site', () => {
    expect(parse('70F', 'temp', 'metric')).toBeCloseTo(21.1111, 3);
    expect(parse('21 °C', 'temp', 'us')).toBe(21);
    expect(parse('3000 psi', 'strength', 'metric')).toBeCloseTo(20.684, 3);
  });
  it('shows what a person wants to read', () => {
    expect(show(21.1111, 'temp', 'us', 'en')).toBe('70\u00a0°F');
    expect(show(27.6, 'strength', 'us', 'en')).toBe('4,000\u00a0psi');
    // The signs of Unicode for text from left to right within lines that run the other way (UAX #9).
    expect(show(8, 'temp', 'metric', 'he')).toBe('\u20668\u00a0°C\u2069');
    expect(show(1.4, 'length', 'metric', 'en-GB')).toBe('1400\u00a0mm');
    expect(show(19.05, 'small', 'us', 'en')).toBe('3/4"');
    expect(show(2.5, 'water', 'metric', 'de')).toBe('2,5\u00a0L');
    expect(show(1.2, 'density', 'us', 'en')).toBe('74.9\u00a0lb/ft³');
  });
  it('comes back unchanged through a field, for every limited number', () => {
    for (const l of LIMITS.filter((x) => !x.field.endsWith('_ms'))) {
      const q = quantityOf(l.field);
      for (const units of ['metric', 'us'] as const) {
        expect(toKept(toShown(l.max, q, units), q, units)).toBeCloseTo(l.max, 6);
        for (const locale of ['en', 'de', 'es'])
          expect(parse(toField(l.max, q, units, locale), q, units, locale)).toBeCloseTo(
            parse(toField(l.max, q, units), q, units) ?? NaN,
            9,
          );
        const back = parse(toField(l.min, q, units), q, units);
        // A field rounds to what can be read: a sixteenth of an inch, a hundredth else.
        const rounding: Record<string, number> = { small: 0.8, strength: 0.01 };
        expect(Math.abs((back ?? NaN) - l.min)).toBeLessThan(rounding[q] ?? 0.015);
      }
    }
  });
  it('reads the units that a field shows', () => {
    expect(parse('5 fl oz', 'millilitres', 'us')).toBeCloseTo(147.8676, 3);
    expect(parse('75 lb/ft³', 'density', 'us')).toBeCloseTo(1.2014, 3);
    expect(parse('2 qt', 'water', 'metric')).toBeCloseTo(1.8927, 3);
  });
  it('drops the crumbs of binary fractions', () => expect(tidy(0.1 + 0.2)).toBe(0.3));
});

describe('limits while typing', () => {
  it('says the range in the unit of the site', () => {
    const r = readNumber('200', 'air_c', 'us', 'en');
    expect(r).toEqual({ ok: false, why: 'range', min: '-40\u00a0°F', max: '140\u00a0°F' });
  });
  it('takes empty as nothing and nonsense as unreadable', () => {
    expect(readNumber(' ', 'air_c', 'us', 'en')).toEqual({ ok: true, value: null });
    expect(readNumber('warm', 'air_c', 'us', 'en')).toEqual({ ok: false, why: 'unreadable' });
  });
  it('takes the ends of the range', () => {
    expect(readNumber('60', 'air_c', 'metric', 'en')).toEqual({ ok: true, value: 60 });
    expect(readNumber('60.1', 'air_c', 'metric', 'en').ok).toBe(false);
  });
});
