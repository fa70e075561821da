// Time zones by Node's Intl, for scripts that need the clock of a site.

const clocks = new Map();

function clock(tz) {
  if (!clocks.has(tz)) {
    const parts = {
      year: 'numeric',
      month: 'numeric',
      day: 'numeric',
      hour: 'numeric',
      minute: 'numeric',
      second: 'numeric',
    };
    let made = null;
    try {
      made = new Intl.DateTimeFormat('en-US', { timeZone: tz, hourCycle: 'h23', ...parts });
    } catch {
      // There is no such zone.
    }
    clocks.set(tz, made);
  }
  return clocks.get(tz);
}

/** Minutes that the clocks of a zone are ahead of UTC at an instant; NaN without such a zone. */
export function offsetMin(tz, ms) {
  const found = clock(tz);
  if (!found) return NaN;
  const at = Object.fromEntries(found.formatToParts(ms).map((part) => [part.type, Number(part.value)]));
  const local = Date.UTC(at.year, at.month - 1, at.day, at.hour, at.minute, at.second);
  return Math.trunc((local - Math.floor(ms / 1000) * 1000) / 60_000);
}

/** The instant at which clocks of the zone show this date and time (`2026-11-10`, `19:10`). */
export function instant(tz, date, time) {
  const local = Date.parse(`${date}T${time}:00Z`);
  const first = local - offsetMin(tz, local) * 60_000;
  return local - offsetMin(tz, first) * 60_000;
}
