// A site whose steps are the scenes of tests/hub/data/colour-truth (rendered, not
// photographed), for the tests of colour: their true colour is known. Importing this starts a
// hub, makes the site and opens a phone; `bring` sends photos.
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { hub, must, open, phone, program, same, top } from './stage.mjs';

export const NOW = '2026-09-20T09:00:00Z';
const DAY = 86_400_000;
export const now = Date.parse(NOW);
const data = join(top, 'tests/hub/data/colour-truth');
const { scenes } = JSON.parse(readFileSync(join(data, 'truth.json'), 'utf8'));
export const scene = (n) => scenes[n - 1];
export const h = await hub({ clock: NOW });
const bearer = { authorization: `Bearer ${new URL(h.url).searchParams.get('t')}` };
export const send = async (path, body, type = 'application/json') => {
  const answer = await fetch(h.origin + path, { method: 'POST', headers: { ...bearer, 'content-type': type }, body });
  return { status: answer.status, json: await answer.json() };
};
export const SITE = 'site-colour';
export const colours = () => h.ask(`/api/sites/${SITE}/colours`);
export const pour = (n) => `pour-ot-${String(n).padStart(2, '0')}`;

/** CIEDE2000, by the program itself (its 34 published pairs are checked elsewhere). */
export function de2000(a, b) {
  const input = JSON.stringify({ lab_a: a, lab_b: b });
  return JSON.parse(execFileSync(program, ['calc', 'colour-difference'], { input })).de2000;
}

// A flight whose steps are the scenes; the target of the dose is a sample without a batch.
export const event = (id, kind, body) => ({ id, site: SITE, by: 'Ada', at_ms: now - 100 * DAY, kind, body });
const events = [
  event(SITE, 'site', { name: 'Orchard', tz: 'UTC' }),
  event('flight-01', 'flight', { name: 'Terrace' }),
  event('mix-grey-1', 'mix', {
    name: 'Grey bag',
    bag_kg: 30,
    yield_l: 14,
    water_min_l: 2.2,
    water_max_l: 3,
    cement_pct: 14,
    class_mpa: 27.6,
  }),
  event('red-oxide', 'additive', { name: 'Red oxide', kind: 'pigment', max_pct: 6 }),
  event('grout-dust', 'additive', { name: 'Dark grout', kind: 'improvised' }),
];
/** The entry of the photo of each scene that was brought. */
export const photos = {};

same((await send('/api/events', JSON.stringify({ events }))).status, 200, 'the site');
/** Sends the photos of scenes and logs the pours that they show. */
export async function bring(...numbers) {
  await Promise.all(
    numbers.map(async (n) => {
      const s = scene(n);
      const { status, json } = await send(
        `/api/sites/${SITE}/photos?by=Ada&name=${s.file}`,
        readFileSync(join(data, s.file)),
        'image/jpeg',
      );
      same(status, 200, JSON.stringify(json));
      photos[n] = json.event;
      // Poured so long before the photo that the age is that of the truth.
      const started_ms = json.photo.taken_ms - s.age_days * DAY;
      const step = n <= 6 ? `step-ot-${n}` : undefined;
      const made = [
        event(pour(n), 'pour', { step, name: step ? '' : s.step, mix: 'mix-grey-1', started_ms, air_c: 15 }),
      ];
      if (step)
        made.unshift(event(step, 'step', { flight: 'flight-01', number: n, width_m: 1.2, depth_m: 0.4, rise_m: 0.16 }));
      const pct = s.dose_pct_of_cement.red ?? 0;
      if (step)
        made.push(
          event(`batch-ot-${n}`, 'batch', {
            pour: pour(n),
            bags: 2,
            water_l: 5,
            additives: pct > 0 ? [{ additive: 'red-oxide', amount: pct * 10 * 4.2 * 2 }] : [],
          }),
        );
      made.push(event(`filed-ot-${n}`, 'correction', { target: json.event, changes: { pour: pour(n) }, seen: [] }));
      const logged = await send('/api/events', JSON.stringify({ events: made }));
      same(logged.status, 200, JSON.stringify(logged.json));
    }),
  );
}

export const page = await open(phone, NOW);
export const at = (id) => page.getByTestId(id);
/** Draws a rectangle of the truth on the photo, a little inside of it. */
export async function drag([x0, y0, x1, y1]) {
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
export const choosePhoto = async (n) => {
  await page.goto(`${h.origin}/site/${SITE}/colour/measure?photo=${photos[n]}`);
  await at('mark-over').waitFor();
};
/** Lets the phone in, which then stands at the list of sites. */
export const enter = () => page.goto(h.url);
/** Has the hub measure scenes by the rectangles of the truth. */
export async function measure(...numbers) {
  await Promise.all(
    numbers.map(async (n) => {
      const s = scene(n);
      const ref = s.references[0];
      const card = `card-ot-${n}`;
      await send(
        '/api/events',
        JSON.stringify({ events: [event(card, 'card', { name: ref.label, kind: 'other', lab_d65: ref.lab_d65 })] }),
      );
      const body = { by: 'Ada', patch: s.patch_rect, references: [{ card, rect: ref.rect }], state: s.state };
      const { status, json } = await send(`/api/sites/${SITE}/photos/${photos[n]}/colour`, JSON.stringify(body));
      same(status, 200, JSON.stringify(json));
      must(de2000(json.colour.lab_d65, s.lab_true) < 1, `${s.id}: ${json.colour.lab_d65} against ${s.lab_true}`);
    }),
  );
}
/** A phone is never scrolled sideways, buttons can be hit, and nothing complained. */
export async function fits(...paths) {
  for (const path of paths) {
    await page.goto(`${h.origin}/site/${SITE}/${path}`);
    await at('col-compare').waitFor();
    await page.waitForFunction(() => !document.querySelector('[data-testid="loading"], .loading'));
    same(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true, `${path} fits`);
    const small = await page
      .locator('main .btn:visible, main select:visible')
      .evaluateAll(
        (all) => all.map((e) => e.getBoundingClientRect()).filter((r) => r.height < 47.5 || r.width < 47.5).length,
      );
    same(small, 0, `${path}: targets below 48 px`);
  }
  same(page.complaints, [], 'errors in the page');
}
