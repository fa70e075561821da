// Whatever was let into a log, every screen is drawn, with the hub and without: each field of
// each kind at values that nobody should send, and clocks at the ends of numbers. What is wrong
// with an entry is said beside it, and it is put right there.
// Promise: "One entry with an absurd time or value stands as a line under *More* with what to do about it, and never in the way of the others."
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { check, desk, finish, must, open, phone, same, top, until } from './stage.mjs';
import { at, event, h, isReady, log, MORNING, origin, phoneOf, SITE, site, T, visit } from './reed-bank.mjs';

const LIMITS = [...readFileSync(join(top, 'ui/src/lib/types.gen.ts'), 'utf8').matchAll(/\{ field: "(\w+)", min: ([-\d.e+]+), max: ([-\d.e+]+)/g)].map((m) => ({ field: m[1], min: Number(m[2]), max: Number(m[3]) }));
/** The full bodies of all kinds, at the times of this site. */
const bodies = JSON.parse(readFileSync(join(top, 'tests/data/bodies.json'), 'utf8'), (_, x) => (typeof x === 'number' && x > 1e12 ? T + (x - 1_790_996_400_000) : x));

/** What each body refers to, as somebody logged it. */
const step = (number) => ({ flight: 'flight-01', number, width_m: 1.2, depth_m: 0.4, rise_m: 0.16 });
await log(
  event('flight', { name: 'Honest' }, 'flight-01'), event('step', step(11), 'step-0001'), event('step', step(12), 'step-0002'),
  event('mix', { name: 'Bag', bag_kg: 30, yield_l: 14, water_min_l: 2.4, water_max_l: 3, cement_pct: 14, class_mpa: 27.6 }, 'mix-00001'),
  event('additive', { name: 'Ochre', kind: 'pigment' }, 'ochre-001'), event('form', { name: 'Box', material: 'timber', board_mm: 25 }, 'form-0001'),
  event('liner', { name: 'Slate', relief_mm: 4 }, 'liner-001'),
  event('pour', { step: 'step-0001', mix: 'mix-00001', started_ms: T - 20 * 3_600_000, air_c: 12, concrete_c: 14, note: 'as it was' }, 'pour-0001'),
  event('reading', { pour: 'pour-0001', at_ms: T, air_c: 11 }, 'read-0001'), event('reading', { at_ms: T, air_c: 10 }, 'read-0002'),
  event('photo', { pour: 'pour-0001', stage: 'fresh', hash: 'cd'.repeat(32), bytes: 9, name: 'b.jpg', format: 'jpeg', taken_ms: T, time_source: 'arrival' }, 'photo-001'),
  event('card', { name: 'Grey', kind: 'grey_card', lab_d65: [50, 0, 0] }, 'card-0001'),
);

const nested = (levels) => Array.from({ length: levels }).reduce((inner) => ({ a: inner }), 1);
function odd(field) {
  const all = [null, true, false, [], {}, [[['deep']]], nested(31), [null, 1, 'x', {}], ['same', 'same'], Array(300).fill('x'), 0, -1, 0.5, 1e-9, 5e-324, 1e21, 1e308, -1e308, 2 ** 53, T, T + 400 * 86_400_000];
  for (const l of LIMITS.filter((x) => x.field === field)) all.push(l.min, l.max, l.min - 1, l.max + 1);
  all.push('', ' ', '\n', '\0', '\u202etxet\u202c\u2066', '\u200b', '\ufeffx', 'Z\u0334\u0335\u0336a\u030d\u030elgo\u0489', '👩\u200d👩\u200d👧\u200d👦🇳🇴', '<img src=x onerror=alert(1)>', '{ $x } { -y }', '../../etc/passwd', 'javascript:alert(1)', '0000-01-01', '9999-12-31', 'UTC', 'Factory', 'EST5EDT', 'entry-9999', '__proto__', 'constructor');
  for (const length of [40, 60, 80, 120, 200, 500, 2000, 4000]) all.push('ß'.repeat(length));
  return all;
}

const monsters = [];
function add(kind, body) {
  const id = `monster-${String(monsters.length).padStart(6, '0')}`;
  monsters.push({ ...event(kind, body, id), ...(kind === 'site' ? { site: id } : {}) });
}
for (const [kind, full] of bodies) {
  // Nothing is taken back here, and the site stays in the list.
  if (kind === 'retraction' || kind === 'archive') continue;
  for (const field of Object.keys(full)) {
    for (const value of odd(field)) add(kind, { ...full, [field]: value });
    const inner = Array.isArray(full[field]) && typeof full[field][0] === 'object' ? full[field][0] : {};
    // The same thing twice in a list.
    if (Array.isArray(full[field])) add(kind, { ...full, [field]: [full[field][0], full[field][0]] });
    for (const name of Object.keys(inner)) for (const value of odd(name)) add(kind, { ...full, [field]: [{ ...inner, [name]: value }] });
  }
  add(kind, full);
}

async function post(path, body) {
  const token = new URL(h.url).searchParams.get('t');
  const answer = await fetch(h.origin + path, { method: 'POST', body, headers: { authorization: `Bearer ${token}` } });
  must(answer.status < 500, `${path}: ${answer.status} ${await answer.clone().text()}`);
  return answer.json();
}

let taken = [];
await check('what is sent is taken or refused with a reason, and never fails', async () => {
  for (let i = 0; i < monsters.length; i += 1000) {
    const said = await post('/api/events', JSON.stringify({ events: monsters.slice(i, i + 1000) }));
    taken = [...taken, ...said.taken];
    must(said.refused.every((r) => r.field && r.why), 'a refusal without its reason');
  }
  must(taken.length > 300 && monsters.length - taken.length > 2000, `${taken.length} of ${monsters.length} taken`);
});

// Clocks at the ends of numbers, from a file that an older version kept. The numbers are
// written as text: JavaScript has no exact ones of that size.
const CLOCKS = ['9223372036854775807', '-9223372036854775808', '8640000000000001', '7258118400000'];
await check('entries of absurd clocks come in with a file', async () => {
  const lines = CLOCKS.flatMap((clock, i) => [
    ['pour', { step: 'step-0002', started_ms: T - 3_600_000 * (i + 30), air_c: 12 }],
    ['reading', { pour: 'pour-0001', at_ms: T - 60_000 * i, air_c: 9 }],
    ['observation', { pour: 'pour-0001', at_ms: T, what: 'note', note: 'odd clock' }],
    ['flight', { name: `Odd ${i}` }],
    ['correction', { target: 'read-0001', changes: { note: `odd ${i}` } }],
    ['materials', bodies.find(([k]) => k === 'materials')[1]],
  ].map(([kind, body], n) => `{"event":${JSON.stringify(event(kind, body, `odd-${i}-${n}-0001`, 0)).replace('"at_ms":0', `"at_ms":${clock}`)}}`));
  const file = ['{"slowstone":"copy","form":1}', ...lines, JSON.stringify({ end: { events: lines.length, photos: 0 } })].join('\n') + '\n';
  const said = await post('/api/import', file);
  same([said.whole, said.missing, said.events], [true, [], lines.length], 'the file');
  const wrong = (await site()).problems.filter((p) => p.code === 'clock_outside');
  same(wrong.length, lines.length, 'lines of problems');
});

const view = await site();
const pours = [...new Set([...view.steps.flatMap((s) => [s.pour, ...s.others]), ...view.samples].filter(Boolean).map((c) => c.id))];
const some = (list, n) => list.filter((_, i) => i % Math.max(1, Math.floor(list.length / n)) === 0).slice(0, n);
const base = `/site/${SITE}`;
const settings = readdirSync(join(top, 'ui/src/settings')).map((f) => `/settings/${f.replace('.svelte', '')}`);
const withoutHub = ['/', base, `${base}/log`, `${base}/log?step=step-0001`, `${base}/setup`, `${base}/weather`, `${base}/pour/pour-0001`, ...some(pours, 8).map((id) => `${base}/pour/${id}`)];
const withHub = [...withoutHub, '/settings', ...settings, ...['', '/buy', '/days', '/check'].map((part) => `${base}/plan${part}`), ...['', '/measure', '/dose'].map((part) => `${base}/colour${part}`), `${base}/handover`];
const others = (await h.ask('/api/sites')).filter((s) => s.id !== SITE).map((s) => `/site/${s.id}`);

/** Opens a screen and waits until it stands; it must be whole and the console silent. */
async function drawn(page, path) {
  await page.goto(origin + path);
  await page.locator('main').first().waitFor();
  await page.waitForFunction(() => !document.querySelector('[data-testid="loading"], .loading'), undefined, { timeout: 60_000 });
  await page.evaluate(() => document.fonts.ready);
  await page.waitForTimeout(150);
  const failed = await page.locator('[data-testid="trouble-error"], [data-testid="trouble-lost"]').allTextContents();
  same(failed, [], `${path} failed`);
  const words = await page.locator('main').first().innerText();
  must(words.trim().length > 20, `${path} is empty`);
  must(!/Invalid Date|NaN|undefined|\[object/.test(words.replace(/ß+/g, '')), `${path} says ${/.{30}(Invalid Date|NaN|undefined|\[object).{30}/s.exec(words)?.[0]}`);
  same(page.complaints.splice(0), [], `${path}: the console`);
}

const a = await phoneOf('Ada', MORNING);
await check('every screen of the site is drawn on a phone', async () => {
  for (const path of withHub) await drawn(a, path);
});
await check('and at a desk', async () => {
  const d = await phoneOf('Ada', MORNING, desk);
  for (const path of withHub) await drawn(d, path);
  await d.context().close();
});
await check('and every site that could be made', async () => {
  for (const path of some(others, 25)) await drawn(a, path);
});
await check('forms open on what was taken', async () => {
  await visit(a, '/setup');
  for (const kind of ['site', 'flight', 'step', 'mix', 'additive', 'form', 'liner']) {
    const all = at(a, `edit-${kind}`);
    for (const i of some([...Array(await all.count()).keys()], 5)) {
      await all.nth(i).click();
      await at(a, `sheet-${kind}`).waitFor();
      await a.keyboard.press('Escape');
      await at(a, `sheet-${kind}`).waitFor({ state: 'detached' });
    }
  }
  same(a.complaints.splice(0), [], 'the console');
});

await check('a problem line says what to do, and both ways put it right', async () => {
  await visit(a);
  await at(a, 'problem-notice').getByRole('link').click();
  const line = (id) => a.locator(`[data-testid="problem"][data-event="${id}"]`);
  const [reading, flight] = ['odd-0-1-0001', 'odd-0-3-0001'];
  await line(reading).waitFor();
  must((await line(reading).textContent()).includes('outside the calendar'), await line(reading).textContent());
  await line(reading).getByTestId('problem-time').click();
  await at(a, 'in-logged_ms').fill('2024-05-02T08:30');
  await at(a, 'problem-time-save').click();
  await line(reading).waitFor({ state: 'detached' });
  await line(flight).getByTestId('problem-take-back').click();
  await line(flight).waitFor({ state: 'detached' });
  const now = await site();
  must(!now.problems.some((p) => [reading, flight].includes(p.event)), 'the hub still has them');
  must(!now.flights.some((f) => f.id === flight), 'the flight is still there');
  // 08:30 in Oslo, UTC+2 in May.
  const pour = await h.ask(`/api/sites/${SITE}/pours/pour-0001`);
  same(pour.readings.find((r) => r.id === reading).at_ms, Date.parse('2024-05-02T06:30:00Z'), 'when it was logged');
  same(a.complaints.splice(0), [], 'the console');
});

await check('without the hub every screen that a phone has is drawn too', async () => {
  await visit(a);
  await isReady(a);
  await a.context().setOffline(true);
  for (const path of withoutHub) await drawn(a, path);
  await until('the problems on the phone', async () => {
    await visit(a, '/setup');
    return (await at(a, 'problem').count()) > 5;
  });
  // What was put right stays so in the phone's own reckoning.
  same(await a.locator('[data-testid="problem"][data-event="odd-0-1-0001"]').count(), 0, 'the reading');
  await a.context().setOffline(false);
});

await check('what somebody else logged is as it was', async () => {
  const pour = await h.ask(`/api/sites/${SITE}/pours/pour-0001`);
  same([pour.pour.fact.note, pour.pour.fact.air_c, pour.card.started_ms], ['as it was', 12, T - 20 * 3_600_000], 'the pour');
});
await check('a phone whose own clock shows no time says so and keeps the form', async () => {
  const b = await phoneOf('Bo', MORNING);
  await b.clock.setSystemTime(new Date(8_000_000_000_000));
  await at(b, 'bar-reading').click();
  await at(b, 'in-at_ms').fill('2024-05-03T07:00');
  await at(b, 'in-air_c').fill('9');
  await at(b, 'save-reading').click();
  // The hub's clock was heard, so the entry has a time of the calendar.
  await at(b, 'sheet-reading').waitFor({ state: 'detached' });
  const mine = (await site()).weather.find((r) => r.by === 'Bo');
  must(mine && mine.at_ms < 7_258_118_400_000, JSON.stringify(mine));
});
await finish();
