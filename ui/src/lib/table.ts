// Tables of loggers: what is in a file and what becomes of it, by the core on this phone, so
// that it works without a signal. Nothing is taken in here: entries are logged by the caller,
// when somebody has confirmed what the columns are. Reading is Rust: logbook/src/logger.

import { newThread, reckonerOn } from './reckoner';
import type { Columns, DateOrder, LoggerUnit, Measure, NoTable, Preview, Taken } from './types.gen';
import { ApiError } from './api';
import { t } from './words';

export const MEASURES: readonly Measure[] = ['air', 'rh', 'wind', 'rain', 'fresh', 'edge', 'middle', 'top'];
/** The units that a measure may have, the usual one first. */
export const UNITS: Record<Measure, readonly LoggerUnit[]> = {
  air: ['c', 'f', 'k'],
  rh: ['pct'],
  wind: ['km_h', 'm_s', 'mph', 'kn'],
  rain: ['mm_h', 'in_h'],
  fresh: ['c', 'f', 'k'],
  edge: ['c', 'f', 'k'],
  middle: ['c', 'f', 'k'],
  top: ['c', 'f', 'k'],
};
/** Signs of units, the same in every language. */
export const SIGNS: Record<LoggerUnit, string> = {
  c: '°C',
  f: '°F',
  k: 'K',
  pct: '%',
  km_h: 'km/h',
  m_s: 'm/s',
  mph: 'mph',
  kn: 'kn',
  mm_h: 'mm/h',
  in_h: 'in/h',
};
export const isConcrete = (m: Measure): boolean => ['fresh', 'edge', 'middle', 'top'].includes(m);
/** Times that tell their distance from UTC themselves. */
export const isEpoch = (order: DateOrder | null): boolean => order === 'seconds' || order === 'millis';

export interface Read {
  taken: Taken;
  /** Bodies of entries of the kind `hourly`. */
  bodies: object[];
}

/** A file that is being looked at. */
export interface OpenTable {
  preview: Preview;
  /** Reads its rows as confirmed, or says why it cannot. */
  rows(columns: Columns, tz: string, pour: string): Promise<Read | { no_table: NoTable }>;
  close(): void;
}

/** Why nothing can be taken of a file, in words. */
export const whyNot = (why: NoTable): string => t(`notable-${why}`);

/** Opens a file; throws with words for people when it is no table. */
export async function openTable(file: File): Promise<OpenTable> {
  const letters: string[] = [];
  const raw = new Uint8Array(await file.arrayBuffer());
  for (let i = 0; i < raw.length; i += 8192) letters.push(String.fromCharCode(...raw.subarray(i, i + 8192)));
  const bytes = letters.join('');
  const core = reckonerOn(newThread());
  try {
    const seen = await core.ask<{ preview: Preview } | { no_table: NoTable }>({ op: 'table', bytes });
    if ('no_table' in seen) throw new ApiError(422, 'no_table', whyNot(seen.no_table));
    const source = file.name.slice(0, 200) || 'table';
    return {
      preview: seen.preview,
      rows: (columns, tz, pour) => core.ask({ op: 'table_rows', bytes, columns, tz, source, pour }),
      close: () => core.end(),
    };
  } catch (e) {
    core.end();
    throw e instanceof ApiError ? e : new ApiError(0, 'core', t('error-core'));
  }
}
