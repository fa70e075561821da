// Numbers as people read and type them, in metric or US units. The log keeps the unit that
// a field's name carries (`temp_c`, `width_m`); this turns it into the site's unit and back.
// Conversion factors are the exact ones of the international yard and pound (1959) and of
// NIST SP 811; nothing else is reckoned here. Feet and inches are read in lengths.ts.

import { groupOf, IN_M, parseLength, parseNumber } from './lengths';
import type { Units } from './types.gen';

export type Quantity =
  | 'temp'
  | 'length'
  | 'small'
  | 'area'
  | 'mass'
  | 'water'
  | 'volume'
  | 'strength'
  | 'speed'
  | 'percent'
  | 'grams'
  | 'millilitres'
  | 'degreehours'
  | 'evaporation'
  | 'count'
  | 'degrees'
  | 'density'
  | 'push';

interface Side {
  /** Shown after a number. */
  unit: string;
  /** shown = kept * factor + offset */
  factor: number;
  offset?: number;
  /** Digits after the point. */
  digits: number;
}

const LB_KG = 0.45359237;
const QT_L = 0.946352946;
const FT3_L = 28.316846592;
const PSI_MPA = 0.00689475729;
const MILE_KM = 1.609344;
const OZ_G = 28.349523125;
const FLOZ_ML = 29.5735295625;

const SIDES: Record<Quantity, { metric: Side; us: Side }> = {
  temp: { metric: { unit: '°C', factor: 1, digits: 1 }, us: { unit: '°F', factor: 1.8, offset: 32, digits: 0 } },
  length: { metric: { unit: 'mm', factor: 1000, digits: 0 }, us: { unit: 'in', factor: 1 / IN_M, digits: 2 } },
  small: { metric: { unit: 'mm', factor: 1, digits: 1 }, us: { unit: 'in', factor: 1 / (IN_M * 1000), digits: 3 } },
  area: { metric: { unit: 'm²', factor: 1, digits: 2 }, us: { unit: 'ft²', factor: 1 / (IN_M * 12) ** 2, digits: 1 } },
  mass: { metric: { unit: 'kg', factor: 1, digits: 1 }, us: { unit: 'lb', factor: 1 / LB_KG, digits: 1 } },
  water: { metric: { unit: 'L', factor: 1, digits: 2 }, us: { unit: 'qt', factor: 1 / QT_L, digits: 2 } },
  volume: { metric: { unit: 'L', factor: 1, digits: 1 }, us: { unit: 'ft³', factor: 1 / FT3_L, digits: 2 } },
  strength: { metric: { unit: 'MPa', factor: 1, digits: 1 }, us: { unit: 'psi', factor: 1 / PSI_MPA, digits: -1 } },
  speed: { metric: { unit: 'km/h', factor: 1, digits: 0 }, us: { unit: 'mph', factor: 1 / MILE_KM, digits: 0 } },
  percent: { metric: { unit: '%', factor: 1, digits: 1 }, us: { unit: '%', factor: 1, digits: 1 } },
  grams: { metric: { unit: 'g', factor: 1, digits: 0 }, us: { unit: 'oz', factor: 1 / OZ_G, digits: 1 } },
  millilitres: { metric: { unit: 'ml', factor: 1, digits: 0 }, us: { unit: 'fl oz', factor: 1 / FLOZ_ML, digits: 1 } },
  degreehours: { metric: { unit: '°C·h', factor: 1, digits: 0 }, us: { unit: '°F·h', factor: 1.8, digits: 0 } },
  evaporation: {
    metric: { unit: 'kg/m²/h', factor: 1, digits: 2 },
    us: { unit: 'lb/ft²/h', factor: (IN_M * 12) ** 2 / LB_KG, digits: 2 },
  },
  density: { metric: { unit: 'kg/L', factor: 1, digits: 2 }, us: { unit: 'lb/ft³', factor: FT3_L / LB_KG, digits: 1 } },
  push: {
    metric: { unit: 'kg/m', factor: 1, digits: 0 },
    us: { unit: 'lb/ft', factor: (IN_M * 12) / LB_KG, digits: 0 },
  },
  count: { metric: { unit: '', factor: 1, digits: 2 }, us: { unit: '', factor: 1, digits: 2 } },
  degrees: { metric: { unit: '°', factor: 1, digits: 5 }, us: { unit: '°', factor: 1, digits: 5 } },
};

/** The unit's sign for a quantity. */
export function unitOf(q: Quantity, units: Units): string {
  return SIDES[q][units].unit;
}

/** The quantity that a field's name says it holds. */
export function quantityOf(field: string): Quantity {
  if (field === 'yield_l' || field === 'mixer_l') return 'volume';
  if (field.endsWith('_kg_l')) return 'density';
  if (field === 'mpa' || field.endsWith('_mpa')) return 'strength';
  if (field === 'lat' || field === 'lon') return 'degrees';
  if (field.endsWith('_c')) return 'temp';
  if (field.endsWith('_mm')) return 'small';
  if (field.endsWith('_m')) return 'length';
  if (field.endsWith('_kg')) return 'mass';
  if (field.endsWith('_l')) return 'water';
  if (field.endsWith('_kmh')) return 'speed';
  if (field.endsWith('_pct')) return 'percent';
  return 'count';
}

/** Which way the lines of a language run. */
export const directionOf = (locale: string): 'ltr' | 'rtl' => (/^(ar|fa|he|ps|ur|yi)\b/.test(locale) ? 'rtl' : 'ltr');

function round(x: number, digits: number): number {
  const p = 10 ** digits;
  return Math.round(x * p) / p;
}

/** A kept value in the site's unit, as a bare number. */
export function toShown(x: number, q: Quantity, units: Units): number {
  const s = SIDES[q][units];
  return x * s.factor + (s.offset ?? 0);
}

/** A number in the site's unit as the value that is kept. */
export function toKept(x: number, q: Quantity, units: Units): number {
  const s = SIDES[q][units];
  return (x - (s.offset ?? 0)) / s.factor;
}

/** Inches as whole, sixteenths and feet: 5 1/2", 6'-3". */
export function inches(x: number, feetToo = true): string {
  const sign = x < 0 ? '-' : '';
  const sixteenths = Math.round(Math.abs(x) * 16);
  let whole = Math.floor(sixteenths / 16);
  let top = sixteenths % 16;
  let below = 16;
  while (top > 0 && top % 2 === 0) {
    top /= 2;
    below /= 2;
  }
  let feet = 0;
  if (feetToo && whole >= 24) {
    feet = Math.floor(whole / 12);
    whole %= 12;
  }
  const fraction = top > 0 ? `${top}/${below}` : '';
  const inch = whole > 0 || !fraction ? `${whole}${fraction ? ` ${fraction}` : ''}` : fraction;
  return feet > 0 ? `${sign}${feet}'-${inch}"` : `${sign}${inch}"`;
}

/** Value and unit for reading; in lines from right to left they are held together. */
export function show(x: number, q: Quantity, units: Units, locale: string, digits?: number): string {
  const text = shown(x, q, units, locale, digits);
  return directionOf(locale) === 'rtl' ? `\u2066${text}\u2069` : text;
}

function shown(x: number, q: Quantity, units: Units, locale: string, digits?: number): string {
  if (units === 'us' && (q === 'length' || q === 'small')) return inches(toShown(x, q, units), q === 'length');
  const s = SIDES[q][units];
  const places = digits ?? s.digits;
  const value = round(toShown(x, q, units), places);
  const number = value.toLocaleString(locale, {
    maximumFractionDigits: Math.max(0, places),
    useGrouping: q === 'length' || q === 'small' ? false : undefined,
  });
  if (!s.unit) return number;
  return s.unit === '%' || s.unit === '°' ? `${number}${s.unit === '%' ? '\u202f%' : '°'}` : `${number}\u00a0${s.unit}`;
}

/** What stands in a field for a kept value. */
export function toField(x: number | null | undefined, q: Quantity, units: Units, locale = 'en'): string {
  if (x === null || x === undefined) return '';
  if (units === 'us' && (q === 'length' || q === 'small')) return inches(toShown(x, q, units), q === 'length');
  const digits = units === 'us' && q === 'volume' ? 3 : Math.max(2, SIDES[q][units].digits);
  return toShown(x, q, units).toLocaleString(locale, {
    useGrouping: false,
    maximumFractionDigits: q === 'strength' && units === 'us' ? 0 : digits,
  });
}

const SUFFIX: Record<string, [Quantity, number, number?]> = {
  // unit word: quantity group, factor to the kept unit of that group's metric side, offset
  c: ['temp', 1],
  f: ['temp', 5 / 9, -160 / 9],
  kg: ['mass', 1],
  lb: ['mass', LB_KG],
  lbs: ['mass', LB_KG],
  l: ['water', 1],
  ml: ['water', 0.001],
  qt: ['water', QT_L],
  gal: ['water', 4 * QT_L],
  pt: ['water', QT_L / 2],
  ft3: ['water', FT3_L],
  mpa: ['strength', 1],
  psi: ['strength', PSI_MPA],
  kmh: ['speed', 1],
  mph: ['speed', MILE_KM],
  ms: ['speed', 3.6],
  g: ['grams', 1],
  oz: ['grams', OZ_G],
};

/**
 * What was typed, as the value that is kept. A number without a unit is in the site's unit;
 * a written unit (70 F, 150 mm, 5 1/2") wins. Null when it cannot be read.
 */
export function parse(text: string, q: Quantity, units: Units, locale = 'en'): number | null {
  const t = text.trim();
  const group = groupOf(locale);
  const bare = parseNumber(t, group);
  if (bare !== null) return toKept(bare, q, units);
  if (q === 'length' || q === 'small') {
    const metres = parseLength(t, group);
    if (metres === null) return null;
    return q === 'small' ? metres * 1000 : metres;
  }
  const m = /^(.*?[\d¼½¾⅛⅜⅝⅞.,])\s*°?\s*([a-zA-Z%°/³²3·][a-zA-Z%°/³²3·\s]*)$/.exec(t);
  const x = m ? parseNumber(m[1] ?? '', group) : null;
  if (!m || x === null) return null;
  const word = (m[2] ?? '')
    .toLowerCase()
    .replace(/[°/\s]/g, '')
    .replace('³', '3');
  if (
    word ===
    unitOf(q, units)
      .toLowerCase()
      .replace(/[°/\s]/g, '')
      .replace('³', '3')
  )
    return toKept(x, q, units);
  if (q === 'millilitres' && word === 'ml') return x;
  if (q === 'millilitres' && word === 'l') return x * 1000;
  if (q === 'millilitres' && word === 'floz') return x * FLOZ_ML;
  if (q === 'grams' && word === 'kg') return x * 1000;
  if (q === 'grams' && word.startsWith('lb')) return x * LB_KG * 1000;
  const s = SUFFIX[word];
  return s && (s[0] === q || (q === 'volume' && s[0] === 'water')) ? x * s[1] + (s[2] ?? 0) : null;
}

/** Keeps what was typed without the crumbs of binary fractions (9 digits are enough). */
export function tidy(x: number): number {
  return Number(x.toPrecision(9));
}
