// Lengths as people on a site write them: 5 1/2", 5-1/2 in, 6'-3", 6' 3 1/2", 6ft 3in, 5½",
// 150 mm, 15 cm, 1,2 m, 5 Zoll, 6 pies 3 pulgadas. A written unit says what is meant,
// whatever the units of the site. Numbers without a unit are read in units.ts, and lengths
// are written there (`inches`). Factors: the international yard and pound (1959).

export const IN_M = 0.0254;
const METRIC: Record<string, number> = { mm: 0.001, cm: 0.01, dm: 0.1, m: 1 };
const FRACTIONS: Record<string, string> = {
  '¼': '1/4',
  '½': '1/2',
  '¾': '3/4',
  '⅛': '1/8',
  '⅜': '3/8',
  '⅝': '5/8',
  '⅞': '7/8',
};

/** How a language writes a number: its sign between thousands. */
export function groupOf(locale: string): string {
  return new Intl.NumberFormat(locale).formatToParts(123456).find((p) => p.type === 'group')?.value ?? '';
}

/**
 * `1 1/2`, `1½`, `5-1/2`, `.5`, `1,5` as a number; null when it is none. A comma and a point
 * are both read as the decimal sign, except where `group` (of the reader's language) stands
 * between thousands: `1,200` is twelve hundred in English and 1.2 in German.
 */
export function parseNumber(text: string, group = ''): number | null {
  let t = text
    .trim()
    .replace('−', '-')
    .replace(/\s*([¼½¾⅛⅜⅝⅞])/, (_, f: string) => ` ${FRACTIONS[f] ?? ''}`)
    .trim();
  const fraction = /^(-?)(?:(\d+)[\s-]+)?(\d+)\s*[/⁄]\s*(\d+)$/.exec(t);
  if (fraction) {
    const below = Number(fraction[4]);
    if (below === 0) return null;
    const x = Number(fraction[2] ?? 0) + Number(fraction[3]) / below;
    return fraction[1] ? -x : x;
  }
  if (group && /^-?[1-9]\d{0,2}(\D\d{3})+(\D\d+)?$/.test(t)) t = t.replaceAll(/\s/.test(group) ? /\s/g : group, '');
  if (!/^[-+]?(\d+([.,]\d*)?|[.,]\d+)$/.test(t)) return null;
  return Number(t.replace(',', '.'));
}

/** A length with a written unit, in metres; null when none is written or it cannot be read. */
export function parseLength(text: string, group = ''): number | null {
  const t = text
    .trim()
    .toLowerCase()
    .replace(/[’′]|\s*(feet|foot|ft|fuß|fuss|pies?)(?![a-zß])\.?/g, "'")
    .replace(/[”″]|''|\s*(inch(es)?|in|zoll|pulg(adas?)?)(?![a-z])\.?/g, '"');
  const metric = /^(.*?)\s*(mm|cm|dm|m)\.?$/.exec(t);
  if (metric) {
    const x = parseNumber(metric[1] ?? '', group);
    return x === null ? null : x * (METRIC[metric[2] ?? ''] ?? NaN);
  }
  // Feet, then inches; the sign of the inches may be left out after feet.
  const m = /^(-?)(?:([^'"]+)')?[\s-]*(?:([^'"]+?)\s*("?))?$/.exec(t);
  if (!m || (m[2] === undefined && !m[4])) return null;
  const feet = m[2] === undefined ? 0 : parseNumber(m[2]);
  const inch = m[3] === undefined ? 0 : parseNumber(m[3]);
  if (feet === null || inch === null || feet < 0 || inch < 0) return null;
  return (feet * 12 + inch) * IN_M * (m[1] ? -1 : 1);
}
