// Logs of two sites for the comparison in wasm.mjs: the demonstration site set on fixed
// days, and an invented one in another zone with every kind of entry and every odd case
// that the log must bear (corrections that did not see each other, entries taken back,
// kinds of a later version).
import { readFileSync } from 'node:fs';
import { instant } from './zone.mjs';

const HOUR = 3_600_000;

/** The demonstration site (demo-data/site.json) as of 2026-11-10 13:00 in Oslo. */
export function demo() {
  const { tz, entries } = JSON.parse(readFileSync(new URL('../../demo-data/site.json', import.meta.url), 'utf8'));
  const now = instant(tz, '2026-11-10', '13:00');
  const day = (text) => {
    const days = Number(text.slice(1) || 0);
    return new Date(Date.UTC(2026, 10, 10) + days * 24 * HOUR).toISOString().slice(0, 10);
  };
  const at = (text) => {
    const back = text.match(/^now-(\d+):(\d+)$/);
    if (back) return now - (Number(back[1]) * 60 + Number(back[2])) * 60_000;
    const [date, time] = text.split(' ');
    return instant(tz, day(date), time);
  };
  const id = (key) => `landing-${key}`;
  const settle = (value, field) => {
    if (Array.isArray(value)) return value.map((v) => settle(v));
    if (value && typeof value === 'object') {
      return Object.fromEntries(Object.entries(value).map(([f, v]) => [f, settle(v, f)]));
    }
    if (typeof value !== 'string') return value;
    if (field?.endsWith('_ms')) return at(value);
    if (field === 'date') return day(value);
    return value.startsWith('@') ? id(value.slice(1)) : value;
  };
  // The scenario names files; the log names what was stored of them.
  const stored = ({ file, ...body }, i) => ({
    ...body,
    name: file,
    hash: String(i).padStart(64, '0'),
    bytes: 1000 + i,
    format: 'jpeg',
    time_source: 'exif_offset',
  });
  const events = entries.map(({ key, by, at: logged, kind, body }, i) => ({
    id: id(key ?? `entry-${i}`),
    site: id('site'),
    by,
    at_ms: at(logged),
    kind,
    body: settle(kind === 'photo' ? stored(body, i) : body),
  }));
  return { events };
}

/** An invented site in Denver around the change of its clocks on 2026-11-01. */
export function everyKind() {
  const site = 'site-denver';
  const t0 = Date.parse('2026-10-25T15:00:00Z');
  const at = (h) => t0 + h * HOUR;
  let made = 0;
  const event = (id, h, kind, body, by = 'Ada') => ({
    id: id ?? `every-${String((made += 1)).padStart(4, '0')}`,
    site,
    by,
    at_ms: at(h),
    kind,
    body,
  });
  const step = (n) =>
    event(`step-000${n}`, -50, 'step', {
      flight: 'flight-01',
      number: n,
      width_m: 1.1,
      depth_m: 0.42,
      rise_m: 0.16,
      on_step_below: n > 1,
    });
  const seen = (pour, h, what, more = {}) => event(undefined, h, 'observation', { pour, at_ms: at(h), what, ...more });
  const correct = (id, h, target, changes, known, by) =>
    event(id, h, 'correction', { target, changes, seen: known }, by);
  const events = [
    event(site, -60, 'site', { name: 'Åsen “north”\n', tz: 'America/Denver', units: 'us', lat: 39.7, lon: -105 }),
    event('flight-01', -60, 'flight', { name: 'Up the bank' }),
    step(1),
    step(2),
    step(3),
    event('mix-00001', -55, 'mix', {
      name: 'Plain',
      bag_kg: 36.3,
      yield_l: 17,
      water_min_l: 2.6,
      water_max_l: 4,
      cement_pct: 14,
      class_mpa: 27.6,
      class_7d_mpa: 17.2,
    }),
    event('mix-00002', -55, 'mix', {
      name: 'Fast',
      bag_kg: 25,
      yield_l: 12,
      water_min_l: 2,
      water_max_l: 3,
      cement_pct: 17,
      class_mpa: 40,
      rapid: true,
    }),
    event('ochre-001', -55, 'additive', { name: 'Ochre', kind: 'pigment', min_pct: 1, max_pct: 6 }),
    event('slow-0001', -55, 'additive', { name: 'Slow', kind: 'retarder', liquid: true }),
    event('form-0001', -55, 'form', { name: 'Ply', material: 'plywood', board_mm: 18 }),
    event('liner-001', -55, 'liner', { name: 'Slate', relief_mm: 5.5, undercut: true }),
    event('pour-0001', 0, 'pour', {
      step: 'step-0001',
      mix: 'mix-00001',
      form: 'form-0001',
      liner: 'liner-001',
      started_ms: at(0),
      finished_ms: at(0.75),
      air_c: 11.2,
      concrete_c: 16.4,
      rh_pct: 41,
      wind_kmh: 13,
      sky: 'sun',
    }),
    event('pour-0002', 170, 'pour', {
      step: 'step-0002',
      mix: 'mix-00001',
      started_ms: at(170),
      air_c: 3.3,
      sky: 'overcast',
    }),
    event('pour-0003', 30, 'pour', { name: 'Sample', mix: 'mix-00002', started_ms: at(30), air_c: 19, concrete_c: 22 }),
    event('pour-0004', 400, 'pour', { step: 'step-0003', started_ms: at(400) }),
    event('batch-001', 0.1, 'batch', {
      pour: 'pour-0001',
      bags: 2,
      water_l: 6.1,
      additives: [
        { additive: 'ochre-001', amount: 310 },
        { additive: 'slow-0001', amount: 45.5 },
      ],
      at_ms: at(0.1),
    }),
    event('batch-002', 0.4, 'batch', { pour: 'pour-0001', bags: 1.5 }),
    event('read-0001', 2, 'reading', { at_ms: at(2), air_c: 14.7, rh_pct: 33, wind_kmh: 20, sky: 'broken' }),
    event('read-0002', 3, 'reading', { pour: 'pour-0001', at_ms: at(3), concrete_c: 19.3, place: 'core' }),
    event('read-0003', 20, 'reading', {
      pour: 'pour-0001',
      at_ms: at(20),
      concrete_c: 9.1,
      air_c: 2.2,
      place: 'surface',
    }),
    event('cast-0001', -2, 'forecast', { date: '2026-10-31', min_c: -3, max_c: 12.5, sky: 'sun' }),
    event('cast-0002', -1, 'forecast', { date: '2026-11-01', min_c: -1, max_c: 14, rh_pct: 30, wind_kmh: 9 }),
    event('cast-0003', 3, 'forecast', { date: '2026-11-01', min_c: 1, max_c: 15 }),
    event('hours-001', 28, 'hourly', {
      source: 'logger',
      rows: Array.from({ length: 60 }, (_, i) => ({
        at_ms: at(28 + i),
        air_c: 8 + ((i * 37) % 24) / 3,
        rh_pct: 40 + (i % 30),
      })),
    }),
    seen('pour-0001', 3.4, 'sheen_gone'),
    seen('pour-0001', 4.6, 'thumb_mark', { note: 'six mm' }),
    seen('pour-0001', 5, 'textured'),
    seen('pour-0001', 26, 'stripped_clean'),
    seen('pour-0001', 27, 'dressed_easily'),
    seen('pour-0001', 200, 'strength', { mpa: 15.25 }),
    seen('pour-0003', 60, 'rain'),
    event('photo-001', 5, 'photo', {
      pour: 'pour-0001',
      stage: 'texture',
      hash: '0f'.repeat(32),
      bytes: 120000,
      format: 'jpeg',
      taken_ms: at(5),
      time_source: 'exif_offset',
      problems: ['dark'],
    }),
    event('photo-002', 6, 'photo', {
      hash: '1e'.repeat(32),
      bytes: 9,
      format: 'png',
      taken_ms: at(6),
      time_source: 'arrival',
    }),
    event('mark-0001', 30, 'mark', { pour: 'pour-0003', milestone: 'texture', what: 'done' }),
    event('mark-0002', 31, 'mark', { pour: 'pour-0001', milestone: 'next_step', what: 'snoozed', until_ms: at(900) }),
    correct('corr-0001', 7, 'pour-0001', { air_c: 12.5 }, []),
    correct('corr-0002', 6, 'pour-0001', { air_c: 10, note: 'colder' }, [], 'Ole'),
    correct('corr-0003', 8, 'pour-0003', { concrete_c: null }, []),
    correct('corr-0004', 9, 'pour-0003', { finished_ms: at(29) }, ['corr-0003']),
    event('undo-0001', 61, 'retraction', { target: 'read-0001', why: 'wrong place' }),
    event('undo-0002', 62, 'retraction', { target: 'corr-0002' }),
    event('undo-0003', 63, 'retraction', { target: 'undo-0002' }),
    event('lost-0001', 64, 'correction', { target: 'nobody-01', changes: { note: 'x' } }),
    event('later-001', 65, 'hologram', { depth: [1, { any: null }] }),
  ];
  return { events };
}
