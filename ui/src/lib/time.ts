// Times as the site's people read them: in the site's time zone, absolute and relative.
// Nothing of the trade is reckoned here. Zone arithmetic goes through Intl, so that it
// knows every zone and every change of the clocks. Nothing here throws, whatever the number:
// what Intl would refuse is shown as a dash. All dates of the app are written here.

export const MIN = 60_000;
export const HOUR = 60 * MIN;
export const DAY = 24 * HOUR;

/** The calendar of the log, 1900 to 2200 (curing/src/units.rs, AtMs::FIRST and LAST). */
export const FIRST = -2_208_988_800_000;
export const LAST = 7_258_118_400_000;

/** Whether an instant is one that a calendar on a site shows. */
export const inCalendar = (ms: number): boolean => ms > FIRST && ms < LAST;

const made = new Map<string, Intl.DateTimeFormat>();

function format(locale: string, tz: string, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const key = locale + tz + JSON.stringify(options);
  let f = made.get(key);
  if (!f) {
    try {
      f = new Intl.DateTimeFormat(locale, { ...options, timeZone: tz });
    } catch {
      f = new Intl.DateTimeFormat('en', { ...options, timeZone: 'UTC' });
    }
    made.set(key, f);
  }
  return f;
}

/** An instant in a zone, written as `options` say; a dash outside the calendar. */
export function dated(ms: number, tz: string, locale: string, options: Intl.DateTimeFormatOptions): string {
  return ms >= FIRST && ms <= LAST ? format(locale, tz, options).format(ms) : '–';
}

interface Wall {
  y: number;
  mo: number;
  d: number;
  h: number;
  mi: number;
}

/** Calendar and clock of an instant in a zone; of the nearest one that the calendar of the log has. */
export function wall(at: number, tz: string): Wall {
  const ms = Number.isNaN(at) ? 0 : Math.min(Math.max(at, FIRST), LAST);
  const f = format('en-US', tz, {
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
    hourCycle: 'h23',
    era: undefined,
  });
  const p: Record<string, number> = {};
  for (const part of f.formatToParts(ms)) p[part.type] = Number(part.value);
  return { y: p['year'] ?? 0, mo: p['month'] ?? 1, d: p['day'] ?? 1, h: p['hour'] ?? 0, mi: p['minute'] ?? 0 };
}

const two = (n: number): string => String(n).padStart(2, '0');

/** The value of a `datetime-local` field for an instant; empty outside the calendar. */
export function toLocalField(ms: number, tz: string): string {
  if (!inCalendar(ms)) return '';
  const w = wall(ms, tz);
  return `${String(w.y).padStart(4, '0')}-${two(w.mo)}-${two(w.d)}T${two(w.h)}:${two(w.mi)}`;
}

/**
 * The instant of a `datetime-local` value in a zone; null when it cannot be read. A time
 * that the clocks skip is taken an hour later; of a time that comes twice, the first.
 */
export function fromLocalField(text: string, tz: string): number | null {
  const m = /^(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d)/.exec(text);
  if (!m) return null;
  const [y, mo, d, h, mi] = m.slice(1).map(Number) as [number, number, number, number, number];
  const asUtc = Date.UTC(y, mo - 1, d, h, mi);
  // Years below 100 would be taken for those of the last century.
  if (y < 100 || !inCalendar(asUtc)) return null;
  const offset = (at: number): number => {
    const w = wall(at, tz);
    return Date.UTC(w.y, w.mo - 1, w.d, w.h, w.mi) - Math.floor(at / MIN) * MIN;
  };
  const before = asUtc - offset(asUtc - DAY);
  const after = asUtc - offset(asUtc + DAY);
  const fits = (at: number): boolean => at + offset(at) === asUtc;
  const both = [before, after].filter(fits);
  return both.length > 0 ? Math.min(...both) : before;
}

/** The site's calendar day of an instant, `YYYY-MM-DD`. */
export function dayOf(ms: number, tz: string): string {
  return toLocalField(ms, tz).slice(0, 10);
}

/** Hour and minute. */
export function clock(ms: number, tz: string, locale: string): string {
  return dated(ms, tz, locale, { hour: 'numeric', minute: '2-digit' });
}

/**
 * Hour and minute of today; weekday, date and time of day near it; the date alone farther
 * away. A weekday never stands alone: last Tuesday must not read like the next.
 */
export function stamp(ms: number, now: number, tz: string, locale: string): string {
  if (dayOf(ms, tz) === dayOf(now, tz)) return clock(ms, tz, locale);
  const far = Math.abs(ms - now);
  if (far < 21 * DAY)
    return dated(ms, tz, locale, {
      weekday: 'short',
      day: 'numeric',
      month: 'short',
      hour: 'numeric',
      minute: '2-digit',
    });
  const year = wall(ms, tz).y === wall(now, tz).y ? {} : ({ year: 'numeric' } as const);
  return dated(ms, tz, locale, { day: 'numeric', month: 'short', ...year });
}

/** The whole date and time, for a history. */
export function full(ms: number, tz: string, locale: string): string {
  return dated(ms, tz, locale, { dateStyle: 'medium', timeStyle: 'short' });
}

/** A length of time in its two largest fitting parts of days, hours, minutes. */
export interface Lasting {
  days: number;
  hours: number;
  minutes: number;
}

/** Splits a length of time so that it reads well: minutes below 2 h are kept, below 10 h rounded to 5. */
export function lasting(ms: number): Lasting {
  const abs = Math.abs(ms);
  if (abs >= 2 * DAY) {
    const hours = Math.round(abs / HOUR);
    const days = Math.floor(hours / 24);
    return { days, hours: days >= 4 ? 0 : hours % 24, minutes: 0 };
  }
  let step = 1;
  if (abs >= 10 * HOUR) step = 60;
  else if (abs >= 2 * HOUR) step = 5;
  const minutes = Math.round(abs / MIN / step) * step;
  return { days: 0, hours: Math.floor(minutes / 60), minutes: minutes % 60 };
}
