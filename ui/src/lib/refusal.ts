// Why a value cannot be, in words: the code of the hub or of the core with its numbers, in the
// reader's language and the units of the site. Loaded when something was refused; what is
// refused for another reason than a value is worded in ../log/hub.ts.

import { fieldWord } from './schema';
import type { EventError, Misfit, Units } from './types.gen';
import { dated } from './time';
import { quantityOf, show } from './units';
import { find, locale, t } from './words';

/** What is refused: an entry, or a field of a request. */
type Refused = Pick<EventError, 'field' | 'value'> & { reason?: Misfit | undefined };

/** Units that are written alike in every language. */
const PLAIN_UNITS = ['h', 'min'];

/** The name of a field. */
export const named = (field: string, kind = ''): string =>
  find(fieldWord(kind, field.replace('.', '_'))) ?? t('f-other');

/** Why a value cannot be. */
export function why({ field, reason }: Refused, units: Units = 'metric'): string {
  // What was set aside by an older version has no reason.
  if (!reason) return t('misfit-unreadable');
  const { code, than, unit } = reason;
  const bound = (x: number | undefined): string => {
    if (x === undefined) return '';
    if (field.endsWith('_ms')) return dated(x, 'UTC', locale, { day: 'numeric', month: 'numeric', year: 'numeric' });
    const counted = code === 'too_long' || code === 'too_many';
    const measured = counted ? 'count' : quantityOf(field);
    const shown = show(x, code === 'bag_density' ? 'density' : measured, units, locale);
    return PLAIN_UNITS.includes(unit) ? `${shown}\u00a0${unit}` : shown;
  };
  return t(`misfit-${code}`, { min: bound(reason.min), max: bound(reason.max), than: than ? named(than) : '' });
}

/** Field and reason in a line. */
export const line = (e: Refused, units: Units = 'metric', kind = ''): string =>
  t('said-refused', { field: named(e.field, kind), why: why(e, units) });
