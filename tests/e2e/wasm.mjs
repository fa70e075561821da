// The core in the browser against the core in the hub: the same bytes, whatever is asked.
// Loads ui/public/core.wasm as the page does (ui/src/lib/core.ts) and compares it with a
// real hub over HTTP and with `slowstone calc`. Time zones come from
// Node's Intl here and from the IANA tables in the hub.
// Run by `cargo xtask test`; alone: SLOWSTONE_BIN=... node tests/e2e/wasm.mjs
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { demo, everyKind } from './wasm-events.mjs';
import { offsetMin } from './zone.mjs';

const top = resolve(dirname(fileURLToPath(import.meta.url)), '../..');
const program = process.env.SLOWSTONE_BIN ?? join(top, 'target/debug/slowstone');
// These topics look at photo files and stay with the program.
const NOT_IN_THE_BROWSER = ['colour', 'colour-difference'];

let passed = 0;
let failed = 0;

async function check(name, body) {
  try {
    const said = await body();
    passed += 1;
    console.log(`ok      ${name}${said ? `: ${said}` : ''}`);
  } catch (error) {
    failed += 1;
    console.log(`FAILED  ${name}\n        ${error.message}`);
  }
}

function must(condition, message) {
  if (!condition) throw new Error(message);
}

/** Fails at the first byte that differs, with what stands around it. */
function same(browser, native, what) {
  if (browser === native) return;
  let at = 0;
  while (browser[at] === native[at]) at += 1;
  const near = (text) => text.slice(Math.max(0, at - 60), at + 60);
  throw new Error(`${what}: differs at ${at}\n        browser ${near(browser)}\n        native  ${near(native)}`);
}

/** A compiled core: takes a question, gives the answer as it came. */
async function load(file) {
  let memory;
  const text = (at, len) => new TextDecoder().decode(new Uint8Array(memory.buffer, at, len));
  const page = { zone_offset_min: (at, len, ms) => offsetMin(text(at, len), ms) };
  const bytes = readFileSync(join(top, 'ui/public', file));
  const { instance } = await WebAssembly.instantiate(bytes, { page });
  const own = instance.exports;
  memory = own.memory;
  return (question) => {
    const sent = new TextEncoder().encode(JSON.stringify(question));
    const at = own.core_alloc(sent.length);
    new Uint8Array(memory.buffer, at, sent.length).set(sent);
    const where = own.core_call(at, sent.length);
    const [from, length] = [where >> 32n, where].map((part) => Number(BigInt.asUintN(32, part)));
    const answer = text(from, length);
    own.core_free(from, length);
    return answer;
  };
}

/** What stands in `{"ok":...}`, as it was written. */
function ok(answer) {
  must(answer.startsWith('{"ok":'), `no answer: ${answer.slice(0, 300)}`);
  return answer.slice('{"ok":'.length, -1);
}

/** JSON without the spaces between its parts; numbers stay as they were written. */
function compact(json) {
  const strings = /("(?:[^"\\]|\\.)*")|\s+/g;
  return json.replace(strings, (_, string) => string ?? '');
}

/** `slowstone calc` with this input: what it prints, or what it refuses. */
function calc(args, input) {
  const done = spawnSync(program, ['calc', ...args], { input: input ?? '', encoding: 'utf8', maxBuffer: 64 << 20 });
  if (done.error) throw done.error;
  must(done.status === 0 || done.status === 2, `slowstone calc ${args}: status ${done.status} ${done.stderr}`);
  return done.status === 0
    ? { answer: done.stdout.trim() }
    : { refused: done.stderr.trim().replace(/^slowstone: /, '') };
}

/** One question at the desk, both ways. */
function bothCalc(topic, input) {
  const native = calc([topic], JSON.stringify(input));
  const browser = core({ op: 'calc', topic, input });
  if (native.refused === undefined) same(ok(browser), compact(native.answer), topic);
  else same(JSON.parse(browser).error?.text ?? browser, native.refused, `${topic} refused`);
  return native.refused === undefined;
}

// Inputs beside the examples: odd ones, large ones, and some that are refused.
const INPUTS = [
  [
    'maturity',
    {
      history: [
        { hours: 5.5, temp_c: 12.3 },
        { hours: 100, temp_c: -4 },
        { hours: 0.1, temp_c: 41.7 },
      ],
    },
  ],
  ['maturity', { history: [{ hours: 1e-3, temp_c: 20 }], datum_c: -10, reference_c: 20, q_k: 4000 }],
  ['maturity', { history: [{ hours: -1, temp_c: 20 }] }],
  ['strength', { age_h: 72, model: { kind: 'hyperbola', su_mpa: 34.1, k_per_d: 0.1525, t0_d: 0.3 } }],
  ['strength', { age_h: 672, model: { kind: 'en1992', fcm_mpa: 38, s: 0.25 } }],
  ['strength', { age_h: 31.4, model: { kind: 'fhp', su_mpa: 40, tau_d: 1.1, a: 0.9 } }],
  ['strength', { age_h: 168, model: { kind: 'aci209', f28_mpa: 27.6, a: 4, b: 0.85 } }],
  [
    'time-to-strength',
    { target_mpa: 7, temp_c: 8.3, model: { kind: 'hyperbola', su_mpa: 34.1, k_per_d: 0.1525, t0_d: 0.3 } },
  ],
  ['time-to-strength', { target_mpa: 900, temp_c: 20, model: { kind: 'en1992', fcm_mpa: 38, s: 0.25 } }],
  ['evaporation', { concrete_c: 31.7, air_c: 29.9, rh_pct: 23, wind_km_h: 37.5 }],
  ['evaporation', { concrete_c: 5, air_c: 6, rh_pct: 100, wind_km_h: 0 }],
  ['evaporation', { concrete_c: 5, air_c: 6, rh_pct: 140, wind_km_h: 0 }],
  ['setting', { temp_c: 3.3 }],
  [
    'setting',
    {
      history: [
        { hours: 2, temp_c: 30 },
        { hours: 3, temp_c: 10 },
      ],
      e_j_mol: 33500,
    },
  ],
  ['curing-days', { surface_c: 7.5, r: 0.31, wearing: true, days_below_5c: 2 }],
  ['form-pressure', { rule: 'fluid', density_kg_m3: 2400, height_m: 0.17 }],
  ['form-pressure', { rule: 'ciria108', d_kn_m3: 25, c1: 1, c2: 0.3, r_m_h: 0.7, h_m: 2.1, temp_c: 9 }],
  ['form-pressure', { rule: 'aci347_wall', r_ft_h: 5, temp_f: 61, height_ft: 9, unit_weight_pcf: 150, cc: 1, cw: 1 }],
  ['lift', { mass_kg: 61.7, h_cm: 33, v_cm: 10, d_cm: 60, a_deg: 30, fm: 0.94, cm: 0.95 }],
  ['bags', { volume_l: 81.6, bag: { mass_kg: 30, yield_l: 14 }, waste_pct: 7.5 }],
  ['bags', { solid: 3 }],
  ['flight', { rise_m: 1.53, run_m: 2.9, tread_m: 0.4, overlap_m: 0.1 }],
  ['flight', { rise_m: 1.53, steps: 9, tread_m: 0.4, overlap_m: 0.1 }],
  [
    'fit',
    {
      model: 'hyperbola',
      points: [
        [24, 8.1],
        [72, 16.9],
        [168, 22.4],
        [672, 30.2],
        [1344, 32],
      ].map(([age_h, strength_mpa]) => ({ age_h, strength_mpa })),
    },
  ],
  ['heat', {}],
  ['pour', {}],
  [
    'pour',
    {
      started_ms: 1_791_900_000_000,
      now_ms: 1_791_960_000_000,
      utc_offset_min: 120,
      place: { lat: 47.3, lon: 11.4 },
      piece: { thickness_mm: 170, base: 'gravel' },
      mix: { class_28d_mpa: 30, strengths_are: 'mean', bag_l: 14, water_l_per_bag: [3, 3.9] },
      dose: { water_l_per_bag: 3.6, pigment_pct_cement: 4, pigment_tone: 'dark' },
      liner: { relief_mm: 22, undercut: true },
      surface: 'pressed',
      air: [
        { at_ms: 1_791_900_000_000, temp_c: 13.4, rh_pct: 61, wind_km_h: 9, sky: 'broken' },
        { at_ms: 1_791_943_000_000, temp_c: 4.2 },
      ],
      concrete: [{ at_ms: 1_791_900_600_000, temp_c: 17.5, place: 'fresh' }],
      observed: [{ at_ms: 1_791_918_000_000, what: 'thumb_6mm' }],
    },
  ],
  ['pour', { started_ms: 1_791_900_000_000, air: [{ at_ms: 1_791_900_000_000, temp_c: 400 }] }],
];

/** A hub that shows `clock`, on `data`; `get` and `post` give the body as it came. */
async function hub(data, clock) {
  const child = spawn(program, ['hub', '--data', data, '--port', '0', '--empty', '--clock', clock], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const url = await new Promise((done, fail) => {
    let said = '';
    child.on('error', fail);
    child.on('exit', (status) => fail(new Error(`the hub ended with ${status}: ${said}`)));
    child.stdout.on('data', (bytes) => {
      said += bytes;
      const found = said.match(/http:\S+/);
      if (found) done(new URL(found[0]));
    });
  });
  const headers = { authorization: `Bearer ${url.searchParams.get('t')}` };
  const ask = async (path, init) => {
    const response = await fetch(new URL(path, url.origin), { ...init, headers, signal: AbortSignal.timeout(60_000) });
    const text = await response.text();
    must(response.ok, `${path}: ${response.status} ${text.slice(0, 500)}`);
    return text;
  };
  return {
    get: (path) => ask(path),
    post: (path, body) => ask(path, { method: 'POST', body: JSON.stringify(body) }),
    stop: () =>
      new Promise((done) => {
        child.removeAllListeners('exit');
        child.on('exit', done);
        child.kill('SIGTERM');
      }),
  };
}

const core = await load('core.wasm');

await check('every topic answers its example with the same bytes', () => {
  const topics = calc(['--list'])
    .answer.split('\n')
    .map((line) => line.split(/\s+/)[0]);
  const here = topics.filter((topic) => !NOT_IN_THE_BROWSER.includes(topic));
  for (const topic of here) {
    must(bothCalc(topic, JSON.parse(calc([topic, '--example']).answer)), `${topic} refuses its own example`);
    must(
      INPUTS.some(([known]) => known === topic),
      `no further input for ${topic}: add some to INPUTS`,
    );
  }
  for (const topic of topics.filter((t) => NOT_IN_THE_BROWSER.includes(t))) {
    must(
      JSON.parse(core({ op: 'calc', topic, input: {} })).error,
      `${topic} answers in the browser: take it off the list`,
    );
  }
  return `${here.length} topics`;
});

await check('other inputs are answered or refused with the same bytes', () => {
  const answered = INPUTS.filter(([topic, input]) => bothCalc(topic, input)).length;
  must(answered >= 20 && answered < INPUTS.length, `${answered} of ${INPUTS.length} were answered`);
  return `${answered} answered, ${INPUTS.length - answered} refused`;
});

await check('the reference cases of heat conduction give the same bytes', () => {
  const dir = join(top, 'tests/reference/data/thermal');
  const cases = readdirSync(dir).filter((name) => name.endsWith('.json'));
  for (const name of cases) {
    const input = JSON.parse(readFileSync(join(dir, name), 'utf8'));
    must(bothCalc('heat', { ...input, report_hours: [0.25, 1, 6, 24, 72, 168] }), `${name} was refused`);
  }
  must(cases.length >= 9, `only ${cases.length} cases`);
  return `${cases.length} cases`;
});

const data = mkdtempSync(join(tmpdir(), 'slowstone-wasm-'));
try {
  const lists = [demo(), everyKind()];
  const known = lists.flatMap((list) => list.events);
  // The first instants of the invented sites, the days after, and long after.
  const clocks = ['2026-10-26T09:00:00Z', '2026-11-10T12:30:00Z', '2027-02-01T00:00:00Z'];
  for (const [i, clock] of clocks.entries()) {
    const native = await hub(data, clock);
    if (i === 0) {
      await check('both take the same entries', async () => {
        for (const { events } of lists) await native.post('/api/events', { events });
        same(ok(core({ op: 'add', events: known })), String(known.length), 'new entries');
        for (const event of known) same(core({ op: 'check', event }), '{"ok":null}', event.id);
        return `${known.length} entries`;
      });
      await check('both refuse the same entries in the same words', async () => {
        const zone = { ...known[0], id: 'other-0001', site: 'other-0001', body: { name: 'A', tz: 'Mars/Base' } };
        const warm = { ...known[0], id: 'other-0002', kind: 'reading', body: { at_ms: known[0].at_ms, air_c: 'warm' } };
        const more = { ...known[0], id: 'other-0003', kind: 'step', body: { flight: known[0].id, steps: 3 } };
        for (const event of [zone, warm, more, { id: 'other-0004' }]) {
          const answer = await native.post('/api/events', { events: [event] }).catch((e) => e.message);
          // The hub adds the reason in English, for programs.
          const { why: _, ...refused } = JSON.parse(answer.slice(answer.indexOf('{'))).refused[0];
          same(JSON.stringify(JSON.parse(core({ op: 'check', event })).ok), JSON.stringify(refused), event.id);
        }
      });
    }
    await check(`views at ${clock} are the same bytes`, async () => {
      let views = 0;
      let bytes = 0;
      const both = async (path, question) => {
        const shown = await native.get(path);
        // The hub's clock runs: the browser is asked for the very instant that was shown.
        const now = JSON.parse(shown).now_ms;
        same(ok(core({ ...question, now_ms: now })), shown, path);
        views += 1;
        bytes += shown.length;
        return JSON.parse(shown);
      };
      const sites = await both('/api/sites', { op: 'sites' });
      must(sites.length === lists.length, `${sites.length} sites`);
      for (const { id } of sites) {
        const view = await both(`/api/sites/${id}`, { op: 'site', site: id });
        const cards = [...view.steps.map((s) => s.pour), ...view.samples].filter(Boolean);
        must(cards.length > 0, `no pours on ${id}`);
        must(
          cards.some((card) => card.now_mpa),
          `nothing was predicted on ${id}`,
        );
        for (const card of cards) {
          await both(`/api/sites/${id}/pours/${card.id}`, { op: 'pour', site: id, pour: card.id });
          await both(`/api/sites/${id}/history/${card.id}`, { op: 'history', site: id, record: card.id });
        }
      }
      return `${views} views, ${Math.round(bytes / 1024)} KB`;
    });
    await native.stop();
  }
} finally {
  rmSync(data, { recursive: true, force: true });
}

console.log(`${passed} passed, ${failed} failed`);
process.exit(failed ? 1 : 0);
