// Colour on a phone: mark the concrete and a card in a photo, read the colour, be refused
// in words, compare two steps, find the dose that matches and log a test patch with it.
// Photos and truth: tests/hub/data/colour-truth (rendered, not photographed).
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { check, finish, hub, must, open, phone, program, same, top, until } from './stage.mjs';

const NOW = '2026-09-20T09:00:00Z';
const DAY = 86_400_000;
const now = Date.parse(NOW);
const data = join(top, 'tests/hub/data/colour-truth');
const { scenes } = JSON.parse(readFileSync(join(data, 'truth.json'), 'utf8'));
const scene = (n) => scenes[n - 1];
const h = await hub({ clock: NOW });
const bearer = { authorization: `Bearer ${new URL(h.url).searchParams.get('t')}` };
const send = async (path, body, type = 'application/json') => {
  const answer = await fetch(h.origin + path, { method: 'POST', headers: { ...bearer, 'content-type': type }, body });
  return { status: answer.status, json: await answer.json() };
};
const SITE = 'site-colour';
const colours = () => h.ask(`/api/sites/${SITE}/colours`);
const pour = (n) => `pour-ot-${String(n).padStart(2, '0')}`;

/** CIEDE2000, by the program itself (its 34 published pairs are checked elsewhere). */
function de2000(a, b) {
  const input = JSON.stringify({ lab_a: a, lab_b: b });
  return JSON.parse(execFileSync(program, ['calc', 'colour-difference'], { input })).de2000;
}

// A flight whose steps are the scenes; the target of the dose is a sample without a batch.
const event = (id, kind, body) => ({ id, site: SITE, by: 'Ada', at_ms: now - 100 * DAY, kind, body });
const events = [
  event(SITE, 'site', { name: 'Orchard', tz: 'UTC' }),
  event('flight-01', 'flight', { name: 'Terrace' }),
  event('mix-grey-1', 'mix', { name: 'Grey bag', bag_kg: 30, yield_l: 14, water_min_l: 2.2, water_max_l: 3, cement_pct: 14, class_mpa: 27.6 }),
  event('red-oxide', 'additive', { name: 'Red oxide', kind: 'pigment', max_pct: 6 }),
  event('grout-dust', 'additive', { name: 'Dark grout', kind: 'improvised' }),
];
const used = [1, 2, 3, 4, 5, 6, 7, 8, 9, 11];
const photos = {};
await check('photos of the flight arrive', async () => {
  same((await send('/api/events', JSON.stringify({ events }))).status, 200, 'the site');
  for (const n of used) {
    const s = scene(n);
    const { status, json } = await send(`/api/sites/${SITE}/photos?by=Ada&name=${s.file}`, readFileSync(join(data, s.file)), 'image/jpeg');
    same(status, 200, JSON.stringify(json));
    photos[n] = json.event;
    // Poured so long before the photo that the age is that of the truth.
    const started_ms = json.photo.taken_ms - s.age_days * DAY;
    const step = n <= 6 ? `step-ot-${n}` : undefined;
    const made = [event(pour(n), 'pour', { step, name: step ? '' : s.step, mix: 'mix-grey-1', started_ms, air_c: 15 })];
    if (step) made.unshift(event(step, 'step', { flight: 'flight-01', number: n, width_m: 1.2, depth_m: 0.4, rise_m: 0.16 }));
    const pct = s.dose_pct_of_cement.red ?? 0;
    if (step) made.push(event(`batch-ot-${n}`, 'batch', { pour: pour(n), bags: 2, water_l: 5, additives: pct > 0 ? [{ additive: 'red-oxide', amount: pct * 10 * 4.2 * 2 }] : [] }));
    made.push(event(`filed-ot-${n}`, 'correction', { target: json.event, changes: { pour: pour(n) }, seen: [] }));
    const logged = await send('/api/events', JSON.stringify({ events: made }));
    same(logged.status, 200, JSON.stringify(logged.json));
  }
});

const page = await open(phone, NOW);
const at = (id) => page.getByTestId(id);
/** Draws a rectangle of the truth on the photo, a little inside of it. */
async function drag([x0, y0, x1, y1]) {
  await at('mark-over').scrollIntoViewIfNeeded();
  const box = await at('mark-over').boundingBox();
  const px = (x, y) => [box.x + (x / 1200) * box.width, box.y + (y / 900) * box.height];
  await page.mouse.move(...px(x0 + 6, y0 + 6));
  await page.mouse.down();
  await page.mouse.move(...px((x0 + x1) / 2, (y0 + y1) / 2));
  must(await page.locator('.loupe').isVisible(), 'no loupe under the thumb');
  await page.mouse.move(...px(x1 - 6, y1 - 6));
  await page.mouse.up();
}
const choosePhoto = async (n) => {
  await page.goto(`${h.origin}/site/${SITE}/colour/measure?photo=${photos[n]}`);
  await at('mark-over').waitFor();
};

await check('the screen is reached, and says how to photograph', async () => {
  await page.goto(h.url);
  await at('site-link').first().click();
  await at('bar-more').click();
  await at('to-colour').click();
  await at('col-none').waitFor();
  must((await at('col-none').textContent()).includes('open shade'), 'it does not say how');
  await at('col-begin').click();
  same(await at('mark-photo').count(), 10, 'photos to choose');
});

await check('marked, measured, and within 1 unit of the truth', async () => {
  await choosePhoto(2);
  must(await at('mark-go').isDisabled(), 'measured with nothing marked');
  await drag(scene(2).patch_rect);
  await at('mark-1').click();
  await drag(scene(2).references[0].rect);
  await at('card-grey_card').click();
  await at('name-input').fill('Ada');
  await at('name-save').click();
  await until('the card', async () => (await colours()).cards.length === 1);
  await at('wet-dry').click();
  await at('mark-go').click();
  await at('lab').waitFor();
  const shown = (await at('lab').textContent()).match(/-?\d+(\.\d+)?/g).map(Number);
  must(de2000(shown, scene(2).lab_true) < 1, `${shown} against ${scene(2).lab_true}`);
  const piece = (await colours()).pieces.find((p) => p.pour === pour(2));
  same(piece.measured[0].state, 'dry', 'how wet');
  same(Math.round(piece.measured[0].age_d), 28, 'age');
});

await check('a suggested place and arrow keys mark it without dragging', async () => {
  await choosePhoto(3);
  await at('place').first().click();
  const left = () => page.locator('.rect.active').evaluate((e) => parseFloat(e.style.left));
  const before = await left();
  await at('mark-0').focus();
  await page.keyboard.press('ArrowRight');
  await until('the move', async () => (await left()) > before);
  await at('nudge-left').click();
  await until('the move back', async () => Math.abs((await left()) - before) < 0.01);
});

await check('an over-exposed card is refused in words, and nothing is entered', async () => {
  await choosePhoto(11);
  await drag(scene(11).patch_rect);
  await at('mark-1').click();
  await drag(scene(11).references[0].rect);
  await at('card-white_paper').click();
  await until('the card', async () => (await colours()).cards.length === 2);
  await at('wet-dry').click();
  await at('mark-go').click();
  await at('refusal').waitFor();
  must((await at('refusal').textContent()).includes('over-exposed'), await at('refusal').textContent());
  same((await colours()).pieces.find((p) => p.pour === pour(11)).measured.length, 0, 'measurements');
});

await check('a card of one’s own and a second card are taken', async () => {
  await choosePhoto(4);
  await drag(scene(4).patch_rect);
  await at('mark-1').click();
  await drag(scene(4).references[0].rect);
  await at('card-other').click();
  await at('card-name').fill('N8 chip');
  for (const [i, v] of scene(4).references[0].lab_d65.entries()) await at(`card-lab-${i}`).fill(String(v));
  await at('card-add').click();
  await at('wet-dry').click();
  await at('mark-go').click();
  await at('measured').waitFor();
  await choosePhoto(9);
  await drag(scene(9).patch_rect);
  await at('card-more').click();
  await drag(scene(9).references[1].rect);
  await at('mark-1').click();
  await drag(scene(9).references[0].rect);
  for (const pick of await page.getByRole('button', { name: 'Grey card, 18 %' }).all()) await pick.click();
  await at('wet-dry').click();
  await at('mark-go').click();
  await at('measured').waitFor();
  const { pieces } = await colours();
  for (const n of [4, 9]) {
    const [m] = pieces.find((p) => p.pour === pour(n)).measured;
    must(de2000(m.lab, scene(n).lab_true) < 1, `${m.lab} against ${scene(n).lab_true}`);
  }
});

await check('the hub measures the others as well, one of them wet', async () => {
  for (const n of [1, 3, 5, 6, 7, 8]) {
    const s = scene(n);
    const ref = s.references[0];
    const card = `card-ot-${n}`;
    await send('/api/events', JSON.stringify({ events: [event(card, 'card', { name: ref.label, kind: 'other', lab_d65: ref.lab_d65 })] }));
    const body = { by: 'Ada', patch: s.patch_rect, references: [{ card, rect: ref.rect }], state: s.state };
    const { status, json } = await send(`/api/sites/${SITE}/photos/${photos[n]}/colour`, JSON.stringify(body));
    same(status, 200, JSON.stringify(json));
    must(de2000(json.colour.lab_d65, s.lab_true) < 1, `${s.id}: ${json.colour.lab_d65} against ${s.lab_true}`);
  }
  const wrong = await send(`/api/sites/${SITE}/photos/${photos[1]}/colour`, JSON.stringify({ by: 'Ada', patch: [0, 0, 5000, 50], references: [{ card: 'card-ot-1', rect: scene(1).references[0].rect }] }));
  same([wrong.status, wrong.json.error.code], [422, 'outside'], 'a rectangle outside');
});

const piece = (n) => page.locator(`[data-testid="piece"][data-pour="${pour(n)}"]`);
await check('two steps are compared in words, with what else differed', async () => {
  await page.goto(`${h.origin}/site/${SITE}/colour`);
  await piece(1).click();
  await at('one').waitFor();
  await piece(4).click();
  await at('pair').waitFor();
  must((await at('pair-word').textContent()).includes('plain'), await at('pair-word').textContent());
  must((await at('pair-tends').textContent()).includes('darker, redder'), await at('pair-tends').textContent());
  must((await at('differed').textContent()).includes('Red oxide'), await at('differed').textContent());
  same(await at('caution-state_differs').count(), 0, 'caution between two dry ones');
  await piece(5).click();
  await at('one').waitFor();
  await piece(8).click();
  await at('caution-state_differs').waitFor();
});

await check('a measurement filed wrong is put right, and a card renamed', async () => {
  const state = async () => (await colours()).pieces.find((p) => p.pour === pour(2)).measured[0].state;
  await piece(2).click();
  if (!(await at('one').isVisible())) await piece(2).click();
  await at('colour-edit').first().click();
  await at('in-state').selectOption('damp');
  await at('save-colour').click();
  await until('the change', async () => (await state()) === 'damp');
  await send('/api/events', JSON.stringify({ events: [event('state-back-2', 'correction', { target: (await colours()).pieces.find((p) => p.pour === pour(2)).measured[0].id, changes: { state: 'dry' }, seen: [] })] }));
  await page.goto(`${h.origin}/site/${SITE}/colour/measure`);
  await at('card-edit').first().click();
  await at('in-name').fill('Grey, from the tin');
  await at('save-card').click();
  await until('the name', async () => (await colours()).cards.some((c) => c.fact.name === 'Grey, from the tin'));
  await page.goto(`${h.origin}/site/${SITE}/colour`);
  await at('swatches').waitFor();
});

await check('the dose that matches comes in grams per bag', async () => {
  await at('col-dose').click();
  await at('dose-match').selectOption(pour(7));
  await at('aim').waitFor();
  const pct = Number((await at('aim-pct').textContent()).match(/\d+(\.\d+)?/)[0]);
  must(Math.abs(pct - 2.6) <= 0.3, `${pct} % instead of 2.6`);
  const grams = Number((await at('aim-amount').textContent()).match(/\d+/)[0]);
  // 30 kg with 14 % of cement: 1 % is 42 g.
  must(Math.abs(grams - 2.6 * 42) <= 13, `${grams} g`);
  must(await at('dose-curve').isVisible(), 'no curve');
});

await check('what was never tried gets a first test patch, and what is improvised a caution', async () => {
  await at('dose-additive').selectOption('grout-dust');
  await at('no-curve').waitFor();
  must((await at('improvised').textContent()).includes('not made for concrete'), 'no caution');
  must(await at('log-patch').isVisible(), 'no test patch offered');
  await at('dose-additive').selectOption('red-oxide');
  await at('aim').waitFor();
});

await check('the next test patch is logged with its dose filled in', async () => {
  const dose = await h.ask(`/api/sites/${SITE}/dose?additive=red-oxide&mix=mix-grey-1&match=${pour(7)}`);
  await at('log-patch').click();
  await at('log-form').waitFor();
  await at('save-pour').click();
  await at('pour-screen').waitFor();
  const view = await h.ask(`/api/sites/${SITE}`);
  const sample = view.samples.find((s) => s.name.includes('Red oxide'));
  const logged = await h.ask(`/api/sites/${SITE}/pours/${sample.id}`);
  same(logged.pour.fact.step ?? null, null, 'a sample has no step');
  const got = logged.mixed.doses[0].pct_of_cement;
  must(Math.abs(got - dose.next.dose_pct[0]) < 0.02, `${got} instead of ${dose.next.dose_pct[0]}`);
});

await check('a phone is never scrolled sideways, and buttons can be hit', async () => {
  for (const path of ['colour', 'colour/measure', `colour/measure?photo=${photos[2]}`, 'colour/dose']) {
    await page.goto(`${h.origin}/site/${SITE}/${path}`);
    await at('col-compare').waitFor();
    await page.waitForTimeout(400);
    same(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true, `${path} fits`);
    const small = await page.locator('main .btn:visible, main select:visible').evaluateAll((all) => all.map((e) => e.getBoundingClientRect()).filter((r) => r.height < 47.5 || r.width < 47.5).length);
    same(small, 0, `${path}: targets below 48 px`);
  }
  same(page.complaints, [], 'errors in the page');
});

await finish();
