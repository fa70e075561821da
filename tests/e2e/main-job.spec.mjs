// The main job as a newcomer does it on a phone: a site, a flight, what it is made with,
// a pour in seconds, photos that carry EXIF, the pour's page, what happened, corrections,
// and a reminder. Promises of the README, steps 2 to 6, in Chromium at 390 x 844.
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { check, corpus, finish, folder, hub, must, open, phone, same, until } from './stage.mjs';

// The photos of the corpus were taken (by their EXIF) on this morning, offset +02:00.
const MORNING = '2024-05-03T05:00:00Z';
const h = await hub({ clock: MORNING });
const page = await open(phone, MORNING);
const at = (id) => page.getByTestId(id);
const site = async () => {
  const [card] = (await h.ask('/api/sites')).sites ?? (await h.ask('/api/sites'));
  return h.ask(`/api/sites/${card.id}`);
};
const pour = async () => {
  const view = await site();
  const { id } = view.steps.find((s) => s.pour).pour;
  return h.ask(`/api/sites/${view.site.id}/pours/${id}`);
};
const saved = (id) => at(`sheet-${id}`).waitFor({ state: 'detached' });

await check('an empty hub leads to a first site', async () => {
  await page.goto(h.url);
  await at('new-site').click();
  await at('in-name').fill('Reed bank');
  await at('in-place').fill('North shore');
  await at('in-tz').fill('Europe/Oslo');
  await at('save-site').click();
  // The name of the person is asked once, when there is something to sign.
  await at('name-input').fill('Ada');
  await at('name-save').click();
  await at('start').waitFor();
  same((await site()).site.fact.tz, 'Europe/Oslo', 'time zone');
  same((await site()).site.by, 'Ada', 'signed by');
});

await check('a time zone that does not exist is refused in the form', async () => {
  const other = await open(phone, MORNING);
  await other.goto(h.url);
  await other.getByTestId('new-site').click();
  await other.getByTestId('in-name').fill('Nowhere');
  await other.getByTestId('in-tz').fill('Mars/Base');
  await other.getByTestId('save-site').click();
  if (await other.getByTestId('name-sheet').count()) {
    await other.getByTestId('name-input').fill('Ada');
    await other.getByTestId('name-save').click();
  }
  await other.getByTestId('wrong-tz').waitFor();
  await other.context().close();
});

await check('one button makes a flight with a mix and a form', async () => {
  must(await at('start-n').isVisible(), 'the number of steps is not shown');
  await at('in-rise_m').fill('160');
  await at('start-go').click();
  await at('step-card').first().waitFor();
  const view = await site();
  same([view.steps.length, view.mixes.length, view.forms.length], [5, 1, 1], 'steps, mixes, forms');
  same(view.steps[0].step.fact.rise_m, 0.16, 'millimetres typed, metres kept');
});

await check('an additive and a liner are set up', async () => {
  await at('bar-more').click();
  await at('add-additive').click();
  await at('in-name').fill('Ochre iron oxide');
  await at('in-min_pct').fill('1');
  await at('in-max_pct').fill('6');
  await at('save-additive').click();
  await saved('additive');
  await at('add-liner').click();
  await at('in-name').fill('Slate');
  await at('in-relief_mm').fill('4');
  await at('save-liner').click();
  await saved('liner');
  const view = await site();
  same([view.additives[0].fact.kind, view.additives[0].fact.max_pct], ['pigment', 6], 'additive');
  same(view.liners[0].fact.relief_mm, 4, 'liner');
});

await check('a pour is logged with a few taps, and what cannot be is said at once', async () => {
  await page.goto(`${h.origin}/site/${(await site()).site.id}`);
  await at('log-pour').click();
  await at('log-form').waitFor();
  await at('in-air_c').fill('72');
  await at('wrong-air_c').waitFor();
  must(await at('save-pour').isDisabled(), 'a pour at 72 °C could be saved');
  await at('in-air_c').fill('16,5');
  await at('in-concrete_c').fill('18');
  await at('log-more').locator('summary').click();
  await at('in-rh_pct').fill('55');
  await at('in-wind_kmh').fill('9');
  await at('sky-broken').click();
  await at('batch-add').click();
  await at('in-water_l').fill('5');
  await at('bags-more').click();
  await at('save-pour').click();
  await at('pour-screen').waitFor();
  const view = await pour();
  same([view.pour.fact.air_c, view.pour.fact.rh_pct, view.pour.fact.sky], [16.5, 55, 'broken'], 'weather');
  same(Math.abs(view.pour.fact.started_ms - Date.parse(MORNING)) < 600_000, true, 'the start is now');
  same([view.mixed.bags, view.batches.length], [2.5, 1], 'bags');
});

await check('photos land on the pour and stage by their EXIF time and stand upright', async () => {
  const zip = join(folder(), 'list.jpg');
  writeFileSync(zip, Buffer.from('504b03040a000000000000000000', 'hex'));
  await at('photo-input').setInputFiles([
    join(corpus, 'gen_orient_6.jpg'),
    join(corpus, 'gen_big_endian.jpg'),
    join(corpus, 'gen_stripped.jpg'),
    zip,
    join(corpus, 'gen_exif.heic'),
  ]);
  await until('four photos', async () => (await pour()).photos.length === 4);
  await at('photo-failed').waitFor();
  must((await at('photo-failed').textContent()).includes('list.jpg'), 'the odd file is not named');
  const photos = Object.fromEntries((await pour()).photos.map((p) => [p.fact.name, p.fact]));
  same(photos['gen_orient_6.jpg'].taken_ms, Date.parse('2024-05-03T07:16:00+02:00'), 'EXIF time with offset');
  same(photos['gen_orient_6.jpg'].time_source, 'exif_offset', 'source of the time');
  // Europe/Oslo is +02:00 in May.
  same(photos['gen_big_endian.jpg'].taken_ms, Date.parse('2024-05-03T07:12:00+02:00'), 'time in the site’s zone');
  same(photos['gen_big_endian.jpg'].time_source, 'exif_site_zone', 'source of the time');
  same(photos['gen_stripped.jpg'].time_source, 'arrival', 'source of the time');
  same(photos['gen_exif.heic'].format, 'heic', 'HEIC is kept');
  // Stored 120 x 160; orientation 6 turns it to 160 x 120.
  const { width_px: across, height_px: down } = photos['gen_orient_6.jpg'];
  must(across > down, 'the log does not say the size of the picture as it stands');
  await at('photo-thumb').nth(3).waitFor();
  await at('photo-thumb').first().scrollIntoViewIfNeeded();
  await until('an upright small picture', async () => {
    const sizes = await page.locator('[data-testid="photo-thumb"] img').evaluateAll((all) => all.map((img) => [img.naturalWidth, img.naturalHeight]));
    return sizes.some(([w, t]) => t > 0 && Math.abs(w / t - across / down) < 0.05);
  });
});

await check('a photo can be moved to another stage', async () => {
  await at('photo-thumb').first().click();
  await at('photo-viewer').waitFor();
  await at('photo-move').click();
  await at('in-stage').selectOption('form_off');
  await at('save-photo').click();
  await saved('photo');
  await until('the new stage', async () => (await pour()).photos.some((p) => p.fact.stage === 'form_off' && p.edited));
});

await check('the page says where it is, what comes next, from when it is safe, and why', async () => {
  const view = await pour();
  same(view.milestones.length, 11, 'milestones');
  for (const m of view.milestones) must(await at(`milestone-${m.kind}`).count(), `${m.kind} is not on the time line`);
  same(await at('now-block').getAttribute('data-phase'), view.card.phase, 'phase');
  for (const id of ['now-marker', 'not-yet', 'basis', 'curve']) must(await at(id).first().count(), `${id} is missing`);
});

await check('an observation is one tap, its time can be changed, and it can be taken back', async () => {
  await at('obs-sheen_gone').click();
  await until('the observation', async () => (await pour()).observations.length === 1);
  await at('observation').first().click();
  await at('in-at_ms').fill('2024-05-03T08:30');
  await at('save-observation').click();
  await saved('observation');
  const seen = (await pour()).observations[0];
  same([seen.fact.what, seen.fact.at_ms], ['sheen_gone', Date.parse('2024-05-03T08:30:00+02:00')], 'corrected time');
  await at('observation').first().click();
  await at('history').locator('summary').click();
  await at('history').locator('li').nth(1).waitFor();
  must((await at('history').textContent()).includes('Ada'), 'the history does not say who');
  await at('take-back').click();
  await until('no observation', async () => (await pour()).observations.length === 0);
});

await check('a reading at any later time reckons everything anew', async () => {
  const off = async () => (await pour()).milestones.find((m) => m.kind === 'form_off').opens.likely;
  const before = await off();
  await at('bar-reading').click();
  await at('in-air_c').fill('4');
  await at('save-reading').click();
  await saved('reading');
  await until('a later form-off', async () => (await off()) > before);
  // It was the cellar's thermometer: taken back, everything is as it was.
  await page.goto(`${h.origin}/site/${(await site()).site.id}/weather`);
  await at('weather-entry').first().click();
  await at('take-back').click();
  await until('the form-off of before', async () => (await off()) === before);
});

await check('the first screen answers for every step', async () => {
  await at('bar-steps').click();
  await at('site-screen').waitFor();
  same(await at('step-card').count(), 5, 'steps');
  const card = page.locator('[data-testid="step-card"][data-step="1"]');
  const view = await pour();
  same(await card.getAttribute('data-phase'), view.card.phase, 'phase of step 1');
});

await check('nothing complained in the page', () => same(page.complaints, [], 'console'));
const { data } = h;
await check('Ctrl-C stops it cleanly', async () => same(await h.stop('SIGINT'), 0, 'exit status'));

// The same data, five days later by the hub's clock.
const later = await hub({ clock: '2024-05-08T06:00:00Z', data });
const phone2 = await open(phone, '2024-05-08T06:00:00Z');
const at2 = (id) => phone2.getByTestId(id);

await check('after a restart the form is due to come off, without any page having been open', async () => {
  await phone2.goto(later.url);
  await at2('site-link').first().click();
  await at2('due-form_off').waitFor();
  const card = phone2.locator('[data-testid="step-card"][data-step="1"]');
  same(await card.getAttribute('data-phase'), 'form_off', 'phase');
  await card.click();
  await at2('obs-stripped_clean').click();
  if (await at2('name-sheet').count()) {
    await at2('name-input').fill('Ole');
    await at2('name-save').click();
  }
  await phone2.locator('[data-testid="now-block"]:not([data-phase="form_off"])').waitFor();
  const [card2] = await later.ask('/api/sites').then((s) => s.sites ?? s);
  const view = await later.ask(`/api/sites/${card2.id}`);
  must(view.due.every((r) => r.kind !== 'form_off'), 'the reminder is still there');
});

await check('nothing complained in the second page', () => same(phone2.complaints, [], 'console'));
await finish();
