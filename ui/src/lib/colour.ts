// Wording of colours: a measured one, a difference, what else differed. Every number comes
// from the hub. The rectangles on a photo are in marks.ts.

import { list, nameOf, plain, val, type Ways } from './say';
import type { Apart, Differed, MeasuredColour, PieceColour } from './types.gen';
import { locale, t } from './words';

type Triple = [number, number, number];

/** `L* 58.8  a* 10.4  b* 8.0`. */
export const labLine = ([l, a, b]: Triple): string => t('col-lab-line', { l: fixed(l), a: fixed(a), b: fixed(b) });

/** One decimal, always. */
export const fixed = (x: number): string =>
  (Math.round(x * 10) / 10 + 0).toLocaleString(locale, { minimumFractionDigits: 1 });

/** `give or take 1.2, 0.8, 0.9`. */
export const giveLine = ([l, a, b]: Triple): string => t('col-give', { l: fixed(l), a: fixed(a), b: fixed(b) });

/** `dry, 28 days old`. */
export function stateLine(m: MeasuredColour): string {
  const age = m.age_d === null ? t('col-age-none') : t('col-age', { n: Math.round(m.age_d) });
  return list([m.state ? t(`wet-${m.state}`) : '', age].filter(Boolean));
}

/** What stands for a piece. */
export const colourOf = (p: PieceColour): MeasuredColour | null =>
  p.chosen === null ? null : (p.measured[p.chosen] ?? null);

export const pieceName = (p: { step_number: number | null; name: string }): string => nameOf(p.step_number, p.name);

/** `Ochre 3 %, Umber 2 %`, of the cement; empty without additives. */
export const dosesOf = (p: PieceColour, w: Ways): string =>
  list(p.mixed.doses.filter((d) => d.amount > 0).map((d) => `${d.name} ${val(d.pct_of_cement, 'percent', w)}`));

/** `Ochre 3 %, 2.5 L water per bag`. */
export function madeOf(p: PieceColour, w: Ways): string {
  const water = p.mixed.water_per_bag_l;
  return list(
    [dosesOf(p, w), water === null ? '' : t('col-water', { litres: val(water, 'water', w) }), p.mix ?? ''].filter(
      Boolean,
    ),
  );
}

/** `slight`, and `cannot be seen to plain` when the range says so. */
export function apartLine(a: Apart): { word: string; range: string; number: string } {
  const [word, low, high] = a.words;
  const [de, from, to] = a.de2000;
  return {
    word: t('col-apart', { word: t(`word-${word}`) }),
    range: low === high ? '' : t('col-apart-range', { low: t(`word-${low}`), high: t(`word-${high}`) }),
    number: t('col-apart-num', { de: fixed(de), low: fixed(from), high: fixed(to) }),
  };
}

export const tends = (a: Apart): string => list(a.tends.map((x) => t(`tend-${x}`)));

/** What differed, first the one that the others are held against. */
export function differed(d: Differed, w: Ways): string {
  const said = (a: string, b: string, name = ''): string =>
    t(`differ-${d.what}`, { a: a || t('differ-none'), b: b || t('differ-none'), name });
  switch (d.what) {
    case 'dose':
      return said(val(d.pct[0], 'percent', w), val(d.pct[1], 'percent', w), d.name);
    case 'water':
      return said(val(d.litres[0], 'water', w), val(d.litres[1], 'water', w));
    case 'placed':
      return said(val(d.temps_c[0], 'temp', w), val(d.temps_c[1], 'temp', w));
    case 'cure':
      return said(...(d.seen.map((s) => list(s.map((x) => t(`seen-${x}`)))) as [string, string]));
    case 'batches':
      return said(plain(d.counts[0]), plain(d.counts[1]));
    case 'note':
      return said(...d.texts);
    default:
      return said(...d.names);
  }
}
