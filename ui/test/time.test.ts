// Times in the site's zone. Offsets of Oslo and Denver and the days of their changes are
// those of the IANA time zone database.
import { describe, expect, it } from 'vitest';
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import {
  clock,
  DAY,
  dayOf,
  FIRST,
  fromLocalField,
  full,
  HOUR,
  inCalendar,
  LAST,
  lasting,
  MIN,
  stamp,
  toLocalField,
  wall,
} from '../src/lib/time';
import { LIMITS } from '../src/lib/types.gen';

const at = (s: string): number => Date.parse(s);

describe('fields', () => {
  it('writes and reads the wall clock of the site', () => {
    expect(toLocalField(at('2026-11-25T12:30:00Z'), 'Europe/Oslo')).toBe('2026-11-25T13:30');
    expect(fromLocalField('2026-11-25T13:30', 'Europe/Oslo')).toBe(at('2026-11-25T12:30:00Z'));
    expect(fromLocalField('2026-07-01T08:00', 'America/Denver')).toBe(at('2026-07-01T14:00:00Z'));
    expect(fromLocalField('2026-07-01T08:00', 'Asia/Kathmandu')).toBe(at('2026-07-01T02:15:00Z'));
  });
  it('goes there and back at every hour around both changes of the clocks', () => {
    for (const start of ['2026-03-28T00:00:00Z', '2026-10-24T00:00:00Z']) {
      for (let i = 0; i < 72; i++) {
        const ms = at(start) + i * HOUR;
        const back = fromLocalField(toLocalField(ms, 'Europe/Oslo'), 'Europe/Oslo');
        // The hour that comes twice is read as its first coming.
        const twice = at('2026-10-25T01:00:00Z');
        expect(back).toBe(ms === twice ? ms - HOUR : ms);
      }
    }
  });
  it('takes a time that the clocks skip an hour later', () => {
    expect(fromLocalField('2026-03-29T02:30', 'Europe/Oslo')).toBe(at('2026-03-29T01:30:00Z'));
  });
  it('refuses what is no time', () => {
    expect(fromLocalField('', 'UTC')).toBeNull();
    expect(fromLocalField('tomorrow', 'UTC')).toBeNull();
  });
  it('knows the day of the site', () => {
    expect(dayOf(at('2026-11-25T23:30:00Z'), 'Europe/Oslo')).toBe('2026-11-26');
    expect(dayOf(at('2026-11-25T23:30:00Z'), 'America/Denver')).toBe('2026-11-25');
  });
});

describe('reading', () => {
  it('keeps a length of time short', () => {
    expect(lasting(95 * MIN)).toEqual({ days: 0, hours: 1, minutes: 35 });
    expect(lasting(3 * HOUR + 21 * MIN)).toEqual({ days: 0, hours: 3, minutes: 20 });
    expect(lasting(-23 * HOUR - 31 * MIN)).toEqual({ days: 0, hours: 24, minutes: 0 });
    expect(lasting(2 * DAY + 13 * HOUR)).toEqual({ days: 2, hours: 13, minutes: 0 });
    expect(lasting(10 * DAY + 13 * HOUR)).toEqual({ days: 10, hours: 0, minutes: 0 });
  });
  it('says the day only when it is another one', () => {
    const now = at('2026-11-25T12:00:00Z');
    expect(stamp(now + HOUR, now, 'UTC', 'en-GB')).toBe('13:00');
    expect(stamp(now + DAY, now, 'UTC', 'en-GB')).toMatch(/^Thu,? 26 Nov,? (at )?12:00$/);
    // A week apart to the minute, and never in the same words.
    for (let day = 1; day < 40; day++) {
      for (const locale of ['en-GB', 'en-US', 'de', 'es']) {
        expect(stamp(now + day * DAY, now, 'UTC', locale)).not.toBe(
          stamp(now - (7 - (day % 7)) * DAY, now, 'UTC', locale),
        );
        expect(stamp(now + day * DAY, now, 'UTC', locale)).toMatch(
          new RegExp(String(new Date(now + day * DAY).getUTCDate())),
        );
      }
    }
    expect(stamp(now + 40 * DAY, now, 'UTC', 'en-GB')).toBe('4 Jan 2027');
  });
});

describe('times that no calendar has', () => {
  // The ends of numbers, of exact numbers, of the calendar of JavaScript (ECMA-262), of the log's.
  const ODD = [
    NaN,
    Infinity,
    -Infinity,
    2 ** 63,
    -(2 ** 63),
    2 ** 53,
    8.64e15,
    8.64e15 + 1,
    -8.64e15 - 1,
    1e300,
    LAST,
    FIRST,
    LAST + 1,
    FIRST - 1,
  ];
  it('are never thrown at a reader', () => {
    for (const ms of ODD) {
      for (const tz of ['UTC', 'Europe/Oslo', 'No/Such', '']) {
        expect(
          () => [
            stamp(ms, 0, tz, 'de'),
            stamp(0, ms, tz, 'de'),
            full(ms, tz, 'en'),
            clock(ms, tz, 'es'),
            dayOf(ms, tz),
            wall(ms, tz),
            lasting(ms),
          ],
          `${ms} ${tz}`,
        ).not.toThrow();
        expect(fromLocalField(toLocalField(ms, tz), tz) ?? 'none').toBeTruthy();
      }
      if (ms !== FIRST && ms !== LAST) expect(full(ms, 'UTC', 'en')).toBe('–');
      expect(inCalendar(ms)).toBe(false);
    }
    for (const typed of ['0000-01-01T00:00', '0099-12-31T23:59', '1899-12-31T23:59', '9999-12-31T23:59'])
      expect(fromLocalField(typed, 'UTC')).toBeNull();
    expect(fromLocalField('1970-01-01T00:00', 'UTC')).toBe(0);
  });
  it('and the calendar is that of the core', () => {
    const limit = LIMITS.find((l) => l.field === 'logged_ms');
    expect([limit?.min, limit?.max]).toEqual([FIRST, LAST]);
    expect([FIRST, LAST].map((ms) => new Date(ms).toISOString())).toEqual([
      '1900-01-01T00:00:00.000Z',
      '2200-01-01T00:00:00.000Z',
    ]);
  });
  it('no other file writes dates with what throws', () => {
    const source = join(import.meta.dirname, '../src');
    const files = readdirSync(source, { recursive: true })
      .map(String)
      .filter((f) => /\.(svelte|ts)$/.test(f) && !/types\.gen|lib.(time|core)\.ts$/.test(f));
    const odd = files.filter((f) =>
      /Intl\.DateTimeFormat\([^)]|toLocaleDateString|toLocaleTimeString|\.toISOString\(\)(?!\.slice\(0, 16\))/.test(
        readFileSync(join(source, f), 'utf8'),
      ),
    );
    expect(odd).toEqual([]);
  });
});
