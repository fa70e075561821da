// Whatever was let into a log, every screen is drawn, with the hub and without: each field of
// each kind at values that nobody should send, and clocks at the ends of numbers. What is wrong
// with an entry is said beside it, and it is put right there.
// Promise: "One entry with an absurd time or value stands as a line under *More* with what to do about it, and never in the way of the others."
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { at, event, h, isReady, log, MORNING, origin, phoneOf, site, SITE, T, visit } from './reed-bank.mjs';
import { screensOf, settled } from './screens.mjs';
import { check, finish, must, same, top, until } from './stage.mjs';

/** The least and the most of each field, as the web app knows them. */
const LIMITS = [
  ...readFileSync(join(top, 'ui/src/lib/types.gen.ts'), 'utf8').matchAll(
    /\{ field: "(\w+)", min: ([-\d.e+]+), max: ([-\d.e+]+)/g,
  ),
].map(([, field, min, max]) => ({ field, min: Number(min), max: Number(max) }));
must(LIMITS.length > 40, `${LIMITS.length} limits were found`);

/** The full bodies of all kinds, at the times of this site. */
const bodies = JSON.parse(readFileSync(join(top, 'tests/data/bodies.json'), 'utf8'), (_, x) =>
  typeof x === 'number' && x > 1e12 ? T + (x - 1_790_996_400_000) : x,
);

/** What each body refers to, as somebody logged it. */
const step = (number) => ({ flight: 'flight-01', number, width_m: 1.2, depth_m: 0.4, rise_m: 0.16 });
const hash = 'cd'.repeat(32);
await log(
  event('flight', { name: 'Honest' }, 'flight-01'),
  event('step', step(11), 'step-0001'),
  event('step', step(12), 'step-0002'),
  event(
    'mix',
    { name: 'Bag', bag_kg: 30, yield_l: 14, water_min_l: 2.4, water_max_l: 3, cement_pct: 14, class_mpa: 27.6 },
    'mix-00001',
  ),
  event('additive', { name: 'Ochre', kind: 'pigment' }, 'ochre-001'),
  event('form', { name: 'Box', material: 'timber', board_mm: 25 }, 'form-0001'),
  event('liner', { name: 'Slate', relief_mm: 4 }, 'liner-001'),
  event(
    'pour',
    {
      step: 'step-0001',
      mix: 'mix-00001',
      started_ms: T - 20 * 3_600_000,
      air_c: 12,
      concrete_c: 14,
      note: 'as it was',
    },
    'pour-0001',
  ),
  event('reading', { pour: 'pour-0001', at_ms: T, air_c: 11 }, 'read-0001'),
  event('reading', { at_ms: T, air_c: 10 }, 'read-0002'),
  event(
    'photo',
    {
      pour: 'pour-0001',
      stage: 'fresh',
      hash,
      bytes: 9,
      name: 'b.jpg',
      format: 'jpeg',
      taken_ms: T,
      time_source: 'arrival',
    },
    'photo-001',
  ),
  event('card', { name: 'Grey', kind: 'grey_card', lab_d65: [50, 0, 0] }, 'card-0001'),
);
const honest = () => h.ask(`/api/sites/${SITE}/pours/pour-0001`).then(({ pour, card }) => [pour.fact, card.started_ms]);
const before = await honest();

const nested = (levels) => Array.from({ length: levels }).reduce((inner) => ({ a: inner }), 1);
const TEXTS = [
  '',
  ' ',
  '\n',
  '\0',
  '\u202etxet\u202c\u2066',
  '\u200b',
  '\ufeffx',
  'Z\u0334\u0335\u0336a\u030d\u030elgo\u0489',
  '👩\u200d👩\u200d👧\u200d👦🇳🇴',
  '<img src=x onerror=alert(1)>',
  '{ $x } { -y }',
  '../../etc/passwd',
  'javascript:alert(1)',
  '0000-01-01',
  '9999-12-31',
  'UTC',
  'EST5EDT',
  'entry-9999',
  '__proto__',
  'constructor',
];
const NUMBERS = [0, -1, 0.5, 1e-9, 5e-324, 1e21, 1e308, -1e308, 2 ** 53, T, T + 400 * 86_400_000];
/** Of these each one that is taken is predicted again and again: fewer texts will do. */
const PREDICTED = ['step', 'pour'];
/** Values that a field of this name may be sent with, in an entry of this kind. */
function odd(field, kind) {
  const texts = PREDICTED.includes(kind) ? TEXTS.slice(4, 9) : TEXTS;
  const lengths = PREDICTED.includes(kind) ? [60, 4000] : [40, 60, 80, 120, 200, 500, 2000, 4000];
  const limits = LIMITS.filter((l) => l.field === field);
  return [
    null,
    true,
    false,
    [],
    {},
    [[['deep']]],
    nested(31),
    [null, 1, 'x', {}],
    ['same', 'same'],
    Array(300).fill('x'),
    ...NUMBERS,
    ...limits.flatMap((l) => [l.min, l.max, l.min - 1, l.max + 1]),
    ...texts,
    ...lengths.map((length) => 'ß'.repeat(length)),
  ];
}

/** Every fifth of them, all if there is time: the hub's own tests take them by thousands. */
const EACH = process.env.SLOWSTONE_LONG ? 1 : 5;
let made = 0;
const monsters = [];
function add(kind, body) {
  made += 1;
  if (made % EACH !== 0) return;
  const id = `monster-${String(monsters.length).padStart(6, '0')}`;
  monsters.push({ ...event(kind, body, id), ...(kind === 'site' ? { site: id } : {}) });
}
for (const [kind, full] of bodies) {
  // Nothing is taken back here, and the site stays in the list.
  if (kind === 'retraction' || kind === 'archive') continue;
  for (const [field, value] of Object.entries(full)) {
    for (const other of odd(field, kind)) add(kind, { ...full, [field]: other });
    if (!Array.isArray(value)) continue;
    // The same thing twice in a list.
    add(kind, { ...full, [field]: [value[0], value[0]] });
    const inner = value[0] !== null && typeof value[0] === 'object' ? value[0] : {};
    for (const name of Object.keys(inner))
      for (const other of odd(name, kind)) add(kind, { ...full, [field]: [{ ...inner, [name]: other }] });
  }
  add(kind, full);
}

async function post(path, body) {
  const token = new URL(h.url).searchParams.get('t');
  const answer = await fetch(h.origin + path, { method: 'POST', body, headers: { authorization: `Bearer ${token}` } });
  must(answer.status < 500, `${path}: ${answer.status} ${await answer.clone().text()}`);
  return answer.json();
}

const taken = [];
await check('what is sent is taken or refused with a reason, and never fails', async () => {
  for (let i = 0; i < monsters.length; i += 500) {
    const said = await post('/api/events', JSON.stringify({ events: monsters.slice(i, i + 500) }));
    taken.push(...said.taken);
    must(
      said.refused.every((r) => r.field && r.why),
      'a refusal without its reason',
    );
  }
  must(
    taken.length > 300 / EACH && monsters.length - taken.length > 2000 / EACH,
    `${taken.length} of ${monsters.length} taken`,
  );
});

// Clocks at the ends of numbers, from a file that an older version kept. The numbers are
// written as text: JavaScript has no exact ones of that size.
const CLOCKS = ['9223372036854775807', '-9223372036854775808', '8640000000000001', '7258118400000'];
await check('entries of absurd clocks come in with a file', async () => {
  const lines = CLOCKS.flatMap((clock, i) =>
    [
      ['pour', { step: 'step-0002', started_ms: T - 3_600_000 * (i + 30), air_c: 12 }],
      ['reading', { pour: 'pour-0001', at_ms: T - 60_000 * i, air_c: 9 }],
      ['observation', { pour: 'pour-0001', at_ms: T, what: 'note', note: 'odd clock' }],
      ['flight', { name: `Odd ${i}` }],
      ['correction', { target: 'read-0001', changes: { note: `odd ${i}` } }],
    ].map(([kind, body], n) => {
      const entry = JSON.stringify(event(kind, body, `odd-${i}-${n}-0001`, 0));
      return `{"event":${entry.replace('"at_ms":0', `"at_ms":${clock}`)}}`;
    }),
  );
  const end = JSON.stringify({ end: { events: lines.length, photos: 0 } });
  const said = await post('/api/import', ['{"slowstone":"copy","form":1}', ...lines, end, ''].join('\n'));
  same([said.whole, said.events], [true, lines.length], 'the file');
  const wrong = (await site()).problems.filter((p) => p.code === 'clock_outside');
  same(wrong.length, lines.length, 'lines of problems');
});

const view = await site();
const cards = [...view.steps.flatMap((s) => [s.pour, ...s.others]), ...view.samples].filter(Boolean);
const some = (list, n) => list.filter((_, i) => i % Math.max(1, Math.floor(list.length / n)) === 0).slice(0, n);
const pours = ['pour-0001', ...some([...new Set(cards.map((c) => c.id))], 3)];
const screens = screensOf(SITE, pours, 'step-0001');
const others = (await h.ask('/api/sites')).map((s) => s.id).filter((id) => id !== SITE);

/** What no screen may say to a person. */
const NEVER = /Invalid Date|\bNaN\b|\bundefined\b|\[object |Infinity/;
/** Opens a screen and waits until it stands: it must be whole, and the console silent. */
async function drawn(page, path) {
  await page.goto(origin + path);
  await settled(page);
  const words = await page.locator('body').innerText();
  must(words.trim().length > 20, `${path} is empty`);
  const found = NEVER.exec(words);
  must(!found, `${path} says ${words.slice(Math.max(0, found?.index - 40), found?.index + 40)}`);
  same(page.complaints.splice(0), [], `${path}: the console`);
  return page.locator('[data-testid="trouble-error"], [data-testid="trouble-lost"]').allTextContents();
}

const a = await phoneOf('Ada', MORNING);
await check('every screen of the site is drawn', async () => {
  for (const path of screens) {
    const failed = await drawn(a, path);
    same(path.startsWith('/lost') ? [] : failed, [], `${path} failed`);
  }
});
await check('and every site that could be made', async () => {
  for (const id of some(others, 6)) same(await drawn(a, `/site/${id}`), [], `site ${id} failed`);
});
await check('forms open on what was taken', async () => {
  await visit(a, '/setup');
  await settled(a);
  for (const kind of ['site', 'flight', 'step', 'mix', 'additive', 'form', 'liner']) {
    const all = at(a, `edit-${kind}`);
    for (const i of some([...Array(await all.count()).keys()], 4)) {
      // A tap that comes as soon as the sheet before is gone may count as the second of two.
      await until(`the sheet of ${kind} ${i}`, async () => {
        await all.nth(i).click();
        return at(a, `sheet-${kind}`)
          .waitFor({ timeout: 3000 })
          .then(() => true);
      });
      await a.keyboard.press('Escape');
      await at(a, `sheet-${kind}`).waitFor({ state: 'detached' });
    }
  }
  same(a.complaints.splice(0), [], 'the console');
});

const wrong = async () => (await site()).problems.map((p) => p.event);
let reading;
await check('a problem line says what to do, and both ways put it right', async () => {
  await visit(a, '/setup');
  // The page shows some lines at once; when one is put right the next moves up.
  const line = (button, n = 0) =>
    at(a, 'problem')
      .filter({ has: at(a, button) })
      .nth(n);
  const byId = (id) => a.locator(`[data-testid="problem"][data-event="${id}"]`);
  await line('problem-take-back').waitFor();
  reading = await line('problem-time').getAttribute('data-event');
  await byId(reading).getByTestId('problem-time').click();
  await at(a, 'in-logged_ms').fill('2024-05-02T08:30');
  await at(a, 'problem-time-save').click();
  await byId(reading).waitFor({ state: 'detached' });
  const back = await line('problem-take-back').getAttribute('data-event');
  await byId(back).getByTestId('problem-take-back').click();
  await byId(back).waitFor({ state: 'detached' });
  await until('the hub has both', async () => !(await wrong()).some((id) => [reading, back].includes(id)));
  // 08:30 in Oslo, UTC+2 in May.
  const [made] = await h.ask(`/api/sites/${SITE}/history/${reading}`);
  must(made, 'it has no history');
  same(a.complaints.splice(0), [], 'the console');
});

await check('without the hub every screen is drawn too, and the list of sites opens', async () => {
  await visit(a);
  await isReady(a);
  await a.context().setOffline(true);
  for (const path of screens) await drawn(a, path);
  await a.goto(`${origin}/`);
  await settled(a);
  const links = at(a, 'site-link');
  must((await links.count()) > 1, 'no sites in the list');
  await links.filter({ hasText: 'Reed bank' }).first().click();
  await at(a, 'site-screen').waitFor();
  await visit(a, '/setup');
  await at(a, 'problem').first().waitFor();
  // What was put right stays so in the phone's own sum.
  same(await a.locator(`[data-testid="problem"][data-event="${reading}"]`).count(), 0, 'what was put right');
});
await check('taking back works without the hub, and reaches it later', async () => {
  const line = at(a, 'problem')
    .filter({ has: at(a, 'problem-take-back') })
    .first();
  const back = await line.getAttribute('data-event');
  await line.getByTestId('problem-take-back').click();
  await a.locator(`[data-testid="problem"][data-event="${back}"]`).waitFor({ state: 'detached' });
  await a.context().setOffline(false);
  await until('the hub has it', async () => !(await wrong()).includes(back));
  same(a.complaints.splice(0), [], 'the console');
});
await check('what somebody logged is as it was', async () => same(await honest(), before, 'the pour'));
await finish();
