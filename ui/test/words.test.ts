// Every code that a view can carry has words, and every word that the code asks for is there.
// The codes are read from the generated types, so a new one fails here until it is worded.
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { FluentResource } from '@fluent/bundle';
import { bundleOf, choose } from '../src/lib/words';
import { LIMITS } from '../src/lib/types.gen';
import { OBSERVED, SCHEMA, STAGES, fieldWord } from '../src/lib/schema';

const root = join(import.meta.dirname, '..');
const types = readFileSync(join(root, 'src/lib/types.gen.ts'), 'utf8');
const folder = join(root, 'src/words');
/** All the words of a language. */
const wordsOf = (lang: string): string =>
  readdirSync(join(folder, lang))
    .sort()
    .map((f) => readFileSync(join(folder, lang, f), 'utf8'))
    .join('\n');
const ftl = wordsOf('en');
const words = bundleOf(ftl, 'en');

/** The string codes of a generated union type. */
function codes(name: string): string[] {
  const m = new RegExp(`export type ${name} = ([^;]*);`).exec(types);
  if (!m) throw new Error(`no type ${name}`);
  return [...(m[1] ?? '').matchAll(/"([a-z0-9_]+)"/g)].map((x) => x[1] ?? '');
}
/** The `what` codes of a generated tagged union. */
function tags(name: string): string[] {
  const start = types.indexOf(`export type ${name} = {`);
  const end = types.indexOf('\nexport ', start + 1);
  return [...types.slice(start, end).matchAll(/"what": "([a-z0-9_]+)"/g)].map((x) => x[1] ?? '');
}
const has = (key: string): boolean => {
  const [id, attribute] = key.split('.');
  const m = words.getMessage(id ?? '');
  return attribute ? m?.attributes[attribute] != null : m?.value != null;
};

describe('every code has words', () => {
  const asked: [string, string[]][] = [
    ['m-', codes('MilestoneKind')],
    ['may-', codes('May')],
    ['phase-', codes('Phase')],
    ['why-', tags('Criterion')],
    ['warn-', tags('Warning')],
    ['seen-', codes('Observed')],
    ['air-', codes('AirSource')],
    ['notyet-', codes('NotYet')],
    ['place-', codes('Place')],
    ['ts-', codes('TimeSource')],
    ['risk-', codes('DryingRisk')],
    ['sky-', codes('Sky')],
    ['opt-', codes('FormMaterial')],
    ['opt-', codes('AdditiveKind')],
    ['opt-', codes('ConcretePlace')],
    ['opt-', codes('Units')],
    ['k-', codes('Kind')],
    ['stage-', [...STAGES]],
    ['against-', codes('Against')],
    ['protect-', codes('Protection')],
    ['wet-', codes('Wetness')],
    ['cardkind-', codes('CardKind')],
    ['doubt-', codes('ColourDoubt')],
    ['word-', codes('ColourWord')],
    ['tend-', codes('Tend')],
    ['ccare-', codes('ColourCaution')],
    ['stand-', codes('ColourPlace')],
    ['differ-', tags('Differed')],
    ['nocurve-', codes('NoCurve')],
    ['leftout-', codes('LeftOut')],
    ['reach-', codes('Reach')],
    ['misfit-', codes('MisfitCode')],
    ['clockwhy-', codes('ClockWhy')],
    ['teach-', codes('Teaches')],
    ['located-', codes('Located')],
    ['sunby-', codes('PlaceSource')],
    ['notable-', codes('NoTable')],
    ['line-', codes('LineWhy')],
    ['order-', codes('DateOrder')],
    ['measure-', codes('Measure')],
  ];
  it.each(asked)('%s', (prefix, list) => {
    expect(list.length).toBeGreaterThan(0);
    expect(list.filter((c) => !has(prefix + c))).toEqual([]);
  });
  it('milestones in every form', () => {
    const missing = codes('MilestoneKind')
      .flatMap((k) => ['now', 'next', 'not', 'ask', 'care'].map((a) => `m-${k}.${a}`))
      .filter((k) => !has(k));
    expect(missing).toEqual([]);
  });
  it('fields', () => {
    const fields = Object.entries(SCHEMA).flatMap(([kind, list]) => list.map((f) => fieldWord(kind, f.name)));
    expect(fields.filter((f) => !has(f))).toEqual([]);
    // Fields that only the hub fills in are never asked for.
    const silent = ['thickness_m', 'overlap_m', 'bytes', 'width_px', 'height_px'];
    expect(LIMITS.map((l) => l.field).filter((f) => !silent.includes(f) && !has(`f-${f}`))).toEqual([]);
  });
  it('every refusal of the hub', () => {
    const hub = join(root, '../src-tauri/crates/hub/src');
    const rust = readdirSync(hub, { recursive: true })
      .map(String)
      .filter((f) => f.endsWith('.rs'))
      .map((f) => readFileSync(join(hub, f), 'utf8'))
      .join('\n');
    // The code stands behind a status; where a value is to blame, its reason is worded instead.
    const found = [...rust.matchAll(/(?:StatusCode::[A-Z_]+|status),\s*"([a-z_]+)"(?!\s*:)/g)].map((m) => m[1] ?? '');
    expect(found.length).toBeGreaterThan(40);
    expect([...new Set(found)].filter((c) => !has(`refused-${c}`))).toEqual([]);
  });
  it('the app offers every observation', () => expect([...OBSERVED].sort()).toEqual(codes('Observed').sort()));
});

describe('the file', () => {
  const source = readdirSync(join(root, 'src'), { recursive: true })
    .map(String)
    .filter((f) => /\.(svelte|ts)$/.test(f) && !f.includes('gen'))
    .map((f) => readFileSync(join(root, 'src', f), 'utf8'))
    .join('\n');
  // The crates that word something, and the desktop shell that speaks with the hub's words.
  const spoken = ['hub', 'logbook', 'record', 'remind', 'wording']
    .map((crate) => `../src-tauri/crates/${crate}/src`)
    .concat('../src-tauri/src')
    .map((folder) => join(root, folder))
    .flatMap((folder) => readdirSync(folder, { recursive: true }).map((f) => join(folder, String(f))))
    .filter((f) => f.endsWith('.rs'))
    .map((f) => readFileSync(f, 'utf8'))
    .join('\n');
  it('has every key that the code names', () => {
    const named = [...source.matchAll(/\bt\('([a-z0-9_.-]+)'/gi)].map((m) => m[1] ?? '');
    expect(named.length).toBeGreaterThan(100);
    expect([...new Set(named)].filter((k) => !has(k))).toEqual([]);
  });
  it('has no key twice and none that nothing uses', () => {
    const keys = [...ftl.matchAll(/^([a-z][a-z0-9_-]*) =/gim)].map((m) => m[1] ?? '');
    expect(keys.filter((k, i) => keys.indexOf(k) !== i)).toEqual([]);
    const built = [...source.matchAll(/`([a-z]+-)\$\{/g)]
      .map((m) => m[1] ?? '')
      .concat(['sky-', 'opt-', 'seen-', 'stage-', 'f-', 'why-', 'warn-', 'list-']);
    expect(
      keys.filter(
        (k) =>
          !source.includes(`'${k}'`) &&
          !source.includes(`'${k}.`) &&
          !spoken.includes(`"${k}"`) &&
          !spoken.includes(`"${k}.`) &&
          !built.some((b) => k.startsWith(b)),
      ),
    ).toEqual([]);
  }, 60_000);
  it('reads without errors', () => {
    for (const key of [...ftl.matchAll(/^([a-z][a-z0-9_-]*) =/gim)].map((m) => m[1] ?? ''))
      expect(words.getMessage(key)).toBeDefined();
  });
});

describe('every language says the same', () => {
  /** Keys and attributes, each with the values that it takes. */
  const shape = (source: string): string[] => {
    const out: string[] = [];
    let key = '';
    let used = new Set<string>();
    let at = '';
    const close = (): void => void (at && out.push(`${at} ${[...used].sort().join(' ')}`));
    for (const line of source.split('\n')) {
      const head = /^([a-z][a-z0-9_-]*) =/i.exec(line);
      const attribute = /^ +\.([a-z0-9_-]+) =/i.exec(line);
      if (head || attribute) {
        close();
        if (head) key = head[1] ?? '';
        at = attribute ? `${key}.${attribute[1]}` : key;
        used = new Set();
      }
      if (!line.startsWith('#')) for (const v of line.matchAll(/\$([a-z_]+)/gi)) used.add(v[1] ?? '');
    }
    close();
    return out.sort();
  };
  const english = shape(ftl);
  it.each(readdirSync(folder).filter((l) => l !== 'en'))('%s', (lang) => {
    const other = shape(wordsOf(lang));
    expect(english.filter((k) => !other.includes(k))).toEqual([]);
    expect(other.filter((k) => !english.includes(k))).toEqual([]);
    expect(bundleOf(wordsOf(lang), lang).addResource(new FluentResource(''))).toEqual([]);
  });
  it('and a device gets the first that it wants', () => {
    expect(choose(['fr-CA', 'de-AT', 'en'], ['de', 'en', 'es'])).toBe('de');
    expect(choose(['', 'ES'], ['de', 'en', 'es'])).toBe('es');
    expect(choose(['fr'], ['de', 'en', 'es'])).toBe('en');
  });
});
