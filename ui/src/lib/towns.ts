// The list of towns to choose the place of a site from: a file of the app itself, so that it is
// there without a signal. Found by the beginning of any name of a town, without its accents.
// Made by ui/scripts/places.py from GeoNames (CC BY 4.0).

export interface Town {
  name: string;
  /** ISO 3166-1, two letters. */
  country: string;
  lat: number;
  lon: number;
  /** The other name by which it was found. */
  by?: string;
}
interface Row extends Town {
  /** All its names, folded, in the order of `names`. */
  folded: string[];
  names: string[];
}

/** A name without accents, signs and case: `São-Paulo` is found by `sao p`. */
export function fold(name: string): string {
  return name
    .replace(/ß/g, 'ss')
    .replace(/[øØ]/g, 'o')
    .replace(/[łŁ]/g, 'l')
    .replace(/[æÆ]/g, 'ae')
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();
}

/** Reads the table; the largest town stands first. */
export function readTowns(table: string): Row[] {
  const rows: Row[] = [];
  for (const line of table.split('\n')) {
    const [name, country, lat, lon, others] = line.split('\t');
    if (!name || line.startsWith('#') || !country || !lat || !lon) continue;
    const names = [name, ...(others ? others.split('|') : [])];
    rows.push({ name, country, lat: Number(lat), lon: Number(lon), names, folded: names.map(fold) });
  }
  return rows;
}

/** The towns that a name may mean: first those that are called just so, then the largest. */
export function findTowns(rows: readonly Row[], typed: string, most: number): Town[] {
  const want = fold(typed);
  if (want.length < 2) return [];
  const just: Town[] = [];
  const begins: Town[] = [];
  for (const row of rows) {
    const at = row.folded.findIndex((n) => n.startsWith(want));
    if (at < 0) continue;
    const town: Town = {
      name: row.name,
      country: row.country,
      lat: row.lat,
      lon: row.lon,
      ...(at > 0 ? { by: row.names[at] } : {}),
    };
    (row.folded.includes(want) ? just : begins).push(town);
  }
  return [...just, ...begins].slice(0, most);
}

let rows: Promise<Row[]> | null = null;

/** The towns by a name; the table is fetched once. */
export async function townsBy(typed: string, most = 6): Promise<Town[]> {
  rows ??= fetch('/towns.tsv').then(async (answer) => {
    if (!answer.ok) throw new Error(String(answer.status));
    return readTowns(await answer.text());
  });
  try {
    return findTowns(await rows, typed, most);
  } catch (e) {
    rows = null;
    throw e;
  }
}
