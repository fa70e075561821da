// Lengths and numbers as people write them on a board or a plan.
import { describe, expect, it } from 'vitest';
import { groupOf, parseLength, parseNumber } from '../src/lib/lengths';

describe('numbers', () => {
  it.each([
    ['21', 21],
    ['1,5', 1.5],
    ['.5', 0.5],
    ['-3', -3],
    ['−3', -3],
    ['5 1/2', 5.5],
    ['5½', 5.5],
    ['5 ½', 5.5],
    ['½', 0.5],
    ['3/4', 0.75],
    ['5-1/2', 5.5],
    ['1.', 1],
  ])('%s', (text, x) => expect(parseNumber(text)).toBe(x));
  it.each(['', 'abc', '1/0', '1.2.3', '1e5', '--2', '5 1/2 1/2', '½½'])('refuses %s', (text) =>
    expect(parseNumber(text)).toBeNull(),
  );
  it.each([
    ['1,200', ',', 1200],
    ['1.200', '.', 1200],
    ['1.200', ',', 1.2],
    ['1,200', '.', 1.2],
    ['0,350', ',', 0.35],
    ['1,200.5', ',', 1200.5],
    ['1.200,5', '.', 1200.5],
    ['1\u202f200', '\u202f', 1200],
    ['1 200', '\u202f', 1200],
    ['12,34', ',', 12.34],
  ])('%s where %j parts thousands', (text, group, x) => expect(parseNumber(text, group)).toBe(x));
  // CLDR, by way of the running Node.
  it.each([
    ['en', ','],
    ['de', '.'],
    ['es', '.'],
    ['es-MX', ','],
  ])('%s', (locale, group) => expect(groupOf(locale)).toBe(group));
});

describe('with a written unit', () => {
  const inch = 0.0254;
  it.each([
    [`5 1/2"`, 5.5 * inch],
    [`5-1/2 in`, 5.5 * inch],
    ['5½"', 5.5 * inch],
    ['5½ in.', 5.5 * inch],
    ['3/4"', 0.75 * inch],
    [`0.5"`, 0.5 * inch],
    ['5 1/2 inches', 5.5 * inch],
    [`6'-3"`, 75 * inch],
    [`6' 3 1/2"`, 75.5 * inch],
    [`6'-3 1/2"`, 75.5 * inch],
    [`6'-3-1/2"`, 75.5 * inch],
    [`6’ 3”`, 75 * inch],
    [`6′3″`, 75 * inch],
    [`6'3`, 75 * inch],
    [`6' 3''`, 75 * inch],
    ['6ft 3in', 75 * inch],
    ['6 ft. 3 in.', 75 * inch],
    ['6 feet', 72 * inch],
    ['1 foot', 12 * inch],
    [`4'`, 48 * inch],
    [`6.5'`, 78 * inch],
    [`-2"`, -2 * inch],
    ['5 1/2 Zoll', 5.5 * inch],
    ['2 Fuß 3 Zoll', 27 * inch],
    ['6 pies 3 pulgadas', 75 * inch],
    ['1 pie', 12 * inch],
    ['3 pulg.', 3 * inch],
    ['150 mm', 0.15],
    ['150mm', 0.15],
    ['15 cm', 0.15],
    ['1.2 m', 1.2],
    ['1,2 m', 1.2],
    ['1,2m', 1.2],
    ['2 dm', 0.2],
    ['1 1/2 m', 1.5],
  ])('%s', (text, metres) => expect(parseLength(text)).toBeCloseTo(metres, 9));
  it.each(['', `"`, `'`, `6'x"`, `6"4'`, '12', '5 1/2', '12 kg', 'm', 'abc mm', `6'-3'`, '12 min', `6' 3" 4"`, `1/0"`])(
    'refuses %s',
    (text) => expect(parseLength(text)).toBeNull(),
  );
});
