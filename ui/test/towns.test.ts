// The table of towns that the app carries, and how a town is found in it.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { findTowns, fold, readTowns } from '../src/lib/towns';

const rows = readTowns(readFileSync(join(import.meta.dirname, '../public/towns.tsv'), 'utf8'));
const first = (typed: string): string => {
  const [town] = findTowns(rows, typed, 6);
  return town ? `${town.name} ${town.country}` : '';
};

describe('towns', () => {
  it('are some thousands, each on the earth', () => {
    expect(rows.length).toBeGreaterThan(5000);
    expect(
      rows.filter((r) => !(Math.abs(r.lat) <= 90 && Math.abs(r.lon) <= 180 && /^[A-Z]{2}$/.test(r.country))),
    ).toEqual([]);
  });
  it('are found without accents, and by their names in English, German and Spanish', () => {
    for (const typed of ['Munich', 'münchen', 'MUNCHEN', 'muenchen', 'Múnich']) expect(first(typed)).toBe('Munich DE');
    for (const typed of ['Wien', 'vienna', 'Viena']) expect(first(typed)).toBe('Vienna AT');
    expect(first('koln')).toBe('Köln DE');
    expect(first('sydney')).toBe('Sydney AU');
    expect(first('sao pau')).toBe('São Paulo BR');
    expect(first('tromso')).toBe('Tromsø NO');
  });
  it('tell the name by which they were found', () => {
    expect(findTowns(rows, 'Wien', 1)[0]?.by).toBe('Wien');
    expect(findTowns(rows, 'Vienna', 1)[0]?.by).toBeUndefined();
  });
  it('lie where an atlas has them', () => {
    // Any atlas: Sydney 33.9° south, 151.2° east; Oslo 59.9° north, 10.7° east.
    const at = (typed: string): number[] =>
      findTowns(rows, typed, 1).flatMap((x) => [Math.round(x.lat), Math.round(x.lon)]);
    expect(at('sydney')).toEqual([-34, 151]);
    expect(at('oslo')).toEqual([60, 11]);
  });
  it('are not guessed from one letter or from signs', () => {
    expect([findTowns(rows, 'a', 6), findTowns(rows, ' -.', 6), findTowns(rows, 'qqqq', 6)]).toEqual([[], [], []]);
    expect(fold('Łódź-Straße')).toBe('lodz strasse');
  });
});
