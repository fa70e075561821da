// Says while somebody types whether a value can be, from the table that the hub checks
// with too (generated LIMITS). The hub decides in the end; this only saves a round.

import { LIMITS, type Limit, type Units } from './types.gen';
import { parse, quantityOf, show, tidy, type Quantity } from './units';

const BY_FIELD = new Map<string, Limit>(LIMITS.map((l) => [l.field, l]));

/** What a field holds after typing: nothing, a value, or why not. */
export type Typed =
  | { ok: true; value: number | null }
  | { ok: false; why: 'unreadable' }
  | { ok: false; why: 'range'; min: string; max: string };

/** Reads what was typed into a number field and checks it. */
export function readNumber(
  text: string,
  field: string,
  units: Units,
  locale: string,
  quantity: Quantity = quantityOf(field),
): Typed {
  if (text.trim() === '') return { ok: true, value: null };
  const value = parse(text, quantity, units, locale);
  if (value === null || !Number.isFinite(value)) return { ok: false, why: 'unreadable' };
  const l = BY_FIELD.get(field);
  const kept = tidy(value);
  if (l && !(kept >= l.min && kept <= l.max)) {
    return {
      ok: false,
      why: 'range',
      min: show(l.min, quantity, units, locale),
      max: show(l.max, quantity, units, locale),
    };
  }
  return { ok: true, value: kept };
}
