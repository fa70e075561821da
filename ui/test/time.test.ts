// Times in the site's zone. Offsets of Oslo and Denver and the days of their changes are
// those of the IANA time zone database.
import { describe, expect, it } from 'vitest';
import { DAY, HOUR, MIN, dayOf, fromLocalField, lasting, stamp, toLocalField } from '../src/lib/time';

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
    expect(stamp(now + DAY, now, 'UTC', 'en-GB')).toMatch(/^Thu,? 12:00$/);
    expect(stamp(now + 40 * DAY, now, 'UTC', 'en-GB')).toBe('4 Jan 2027');
  });
});
