// Turns the codes and numbers of a view into words: times relative and absolute, criteria,
// warnings, values with units. Wording only; every number comes from the hub.

import { app } from './app.svelte';
import { clock, full, inCalendar, lasting, MIN, stamp } from './time';
import type {
  AtMs,
  Criterion,
  Look,
  MilestoneKind,
  NextUp,
  PhotoPlace,
  PourCard,
  Reminder,
  Units,
  Warning,
} from './types.gen';
import { show, type Quantity } from './units';
import { find, locale, t } from './words';

/** How a site writes times and numbers. */
export interface Ways {
  tz: string;
  units: Units;
}

/** Temperature at which ages are stated, °C (the contract of the log). */
const REF_C = 23;
const WARM_C = 15;
/** The temperature at which the handbook counts its days. */
const HANDBOOK_C = 20;

/** Who logged something, and whose device it came from when that is another person's. */
export function person(of: { by: string; entered_by?: string }): string {
  return of.entered_by ? t('rec-for', { name: of.by, by: of.entered_by }) : of.by;
}

/** `3 h 20 min`. */
export function span(ms: number): string {
  const { days, hours, minutes } = lasting(ms);
  if (days > 0) return hours > 0 ? t('len-dh', { d: days, h: hours }) : t('len-d', { d: days });
  if (hours > 0) return minutes > 0 ? t('len-hm', { h: hours, m: minutes }) : t('len-h', { h: hours });
  return t('len-m', { m: minutes });
}

/** `in 3 h`, `2 h ago`. */
export function relative(at: AtMs, now: number = app.now): string {
  if (!inCalendar(at)) return t('time-outside');
  if (Math.abs(at - now) < MIN) return t('rel-now');
  return at > now ? t('rel-in', { time: span(at - now) }) : t('rel-since', { time: span(at - now) });
}

/** Absolute time, as short as it can be. */
export function when(at: AtMs | null | undefined, w: Ways): string {
  if (at === null || at === undefined) return '–';
  return inCalendar(at) ? stamp(at, app.now, w.tz, locale) : t('time-outside');
}

/** Absolute and relative. */
export function whenBoth(at: AtMs, w: Ways): string {
  return inCalendar(at) ? `${when(at, w)} (${relative(at)})` : t('time-outside');
}

/** Date and time in full. */
export function whenFull(at: AtMs, w: Ways): string {
  return inCalendar(at) ? full(at, w.tz, locale) : t('time-outside');
}

/** Clock only. */
export function atClock(at: AtMs, w: Ways): string {
  return clock(at, w.tz, locale);
}

/** A value with its unit. */
export function val(x: number | null | undefined, q: Quantity, w: Ways, digits?: number): string {
  return x === null || x === undefined ? '–' : show(x, q, w.units, locale, digits);
}

/** A plain number. */
export function plain(x: number, digits = 1): string {
  return x.toLocaleString(locale, { maximumFractionDigits: digits });
}

/** The temperature at which ages are stated. */
export const reference = (w: Ways): string => val(REF_C, 'temp', w);

/** What a criterion asks. */
export function criterion(c: Criterion, w: Ways): string {
  switch (c.what) {
    case 'age':
      return t('why-age', { hours: plain(c.hours), ref: reference(w) });
    case 'strength':
      return t('why-strength', { mpa: val(c.mpa, 'strength', w), place: t(`place-${c.place}`) });
    case 'share':
      return t('why-share', { pct: val(c.pct, 'percent', w) });
    case 'warm_hours':
      return t('why-warm_hours', { hours: plain(c.hours), temp: val(WARM_C, 'temp', w) });
    case 'calendar_days':
    case 'curing_table':
      return t(`why-${c.what}`, { days: Math.round(c.days * 10) / 10 });
    case 'handbook':
      return t('why-handbook', { days: plain(c.days, 0), temp: val(HANDBOOK_C, 'temp', w) });
    case 'load':
    case 'freely':
      return t(`why-${c.what}`, { mpa: val(c.mpa, 'strength', w) });
    case 'after':
      return t('why-after', { milestone: t(`m-${c.milestone}`) });
    default:
      return t(`why-${c.what}`);
  }
}

/** What to look at, when, and by how much a wait would get shorter. */
export function lookWorth(look: Look, w: Ways): string {
  return t('look-worth', {
    look: t(`look-${look.what}`, { when: when(look.at, w) }),
    milestone: t(`m-${look.milestone}`),
    hours: plain(look.narrows),
  });
}

/** A warning in plain words. */
export function warning(x: Warning, w: Ways): string {
  switch (x.what) {
    case 'frost_before_strength':
      return t('warn-frost_before_strength', {
        seen: String(x.seen),
        when: when(x.at, w),
        mpa: val(x.mpa, 'strength', w),
      });
    case 'too_much_water':
      return t('warn-too_much_water', { loss: val(x.loss_pct, 'percent', w, 0) });
    case 'dries_fast':
      return t('warn-dries_fast', { rate: val(x.rate, 'evaporation', w), risk: x.risk });
    case 'short_window':
      return t('warn-short_window', { minutes: plain(x.minutes, 0) });
    case 'rain_before_set':
      return t('warn-rain_before_set', { when: when(x.at, w) });
    case 'hot':
      return t('warn-hot', { temp: val(x.peak, 'temp', w, 0), loss: val(x.loss_pct, 'percent', w, 0) });
    case 'cold_placing':
      return t('warn-cold_placing', { temp: val(x.temp, 'temp', w, 0) });
    case 'pigment_high':
      return t('warn-pigment_high', { pct: val(x.pct, 'percent', w) });
    case 'stripped_early':
      return t('warn-stripped_early', { mpa: val(x.mpa, 'strength', w) });
    default:
      return t(`warn-${x.what}`);
  }
}

/** What is said largest of a pour. */
export function headline(card: PourCard): string {
  const { says, kind } = card.head;
  if (kind && says === 'now') return t(`m-${kind}.now`);
  if (kind && says === 'try') return t('head-try', { ask: t(`m-${kind}.ask`) });
  return t(`phase-${card.phase}`);
}

/** Likely and safe times of what comes next; all of them lie ahead. */
export function nextTimes(next: NextUp, w: Ways): string {
  const likely = next.likely === null ? '' : t('next-likely', { when: whenBoth(next.likely, w) });
  const safe = next.safe === null ? '' : t('next-safe', { when: when(next.safe, w) });
  return list([likely, safe].filter(Boolean));
}

/** What a reminder asks for; what is only likely is asked with its test. */
export function ask(r: Reminder): string {
  const what = t(`m-${r.kind}.ask`);
  return r.test ? t('head-try', { ask: what }) : what;
}

/** `walk on it, load it`. */
export function notList(kinds: MilestoneKind[], most = 3): string {
  return list(kinds.slice(0, most).map((k) => t(`m-${k}.not`)));
}

/** Joins with commas. */
export function list(parts: string[]): string {
  return parts.join(', ');
}

/** The words for a stage of work; a stage that has none is shown as it was written. */
export function stage(code: string): string {
  return code === '' ? '' : (find(`stage-${code}`) ?? code);
}

/** What a step or sample is called. */
export function nameOf(number: number | null, name: string): string {
  if (number === null) return name || t('sample');
  return name && name !== String(number) ? `${t('step-n', { n: number })} · ${name}` : t('step-n', { n: number });
}

/** Where a photo is: `Step 6, form`. */
export function placeName(place: PhotoPlace): string {
  if (place.step === null && place.pour === null) return t('photo-nowhere');
  return list([nameOf(place.step_number, place.name), stage(place.stage)].filter(Boolean));
}
