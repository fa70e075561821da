// Photos land on the pour and the stage of their time, by their own EXIF, stand upright, and
// can be moved; what is no photo is refused in words; a camera whose clock is wrong is noticed.
// A step has photos before it is poured, and a stage follows the log until a person sets it.
// Promise: "Snap photos, of the base and the form too. Each lands on the right step and stage by the time it was taken; the message says where, and one tap changes it. The stage follows the log until you set it."
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { check, corpus, finish, folder, must, same, until } from './stage.mjs';
import {
  T,
  at,
  back,
  closed,
  event,
  h,
  isReady,
  large,
  letIn,
  log,
  logPour,
  phoneOf,
  pour,
  quiet,
  site,
  visit,
} from './reed-bank.mjs';

const HOUR = 3_600_000;
// The photos of the corpus were taken (by their EXIF) on this morning, offset +02:00.
const a = await phoneOf('Ada');
const id = await logPour(a, 16.5);

await check('photos land on the pour and stage by their EXIF time and stand upright', async () => {
  const zip = join(folder(), 'list.jpg');
  writeFileSync(zip, Buffer.from('504b03040a000000000000000000', 'hex'));
  await at(a, 'photo-input').setInputFiles([
    join(corpus, 'gen_orient_6.jpg'),
    join(corpus, 'gen_big_endian.jpg'),
    join(corpus, 'gen_stripped.jpg'),
    zip,
    join(corpus, 'gen_exif.heic'),
  ]);
  await until('four photos', async () => (await pour(id)).photos.length === 4);
  await at(a, 'photo-failed').waitFor();
  must((await at(a, 'photo-failed').textContent()).includes('list.jpg'), 'the odd file is not named');
  const photos = Object.fromEntries((await pour(id)).photos.map((p) => [p.fact.name, p.fact]));
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
  await at(a, 'photo-thumb').nth(3).waitFor();
  await at(a, 'photo-thumb').first().scrollIntoViewIfNeeded();
  await until('an upright small picture', async () => {
    const sizes = await a
      .locator('[data-testid="photo-thumb"] img')
      .evaluateAll((all) => all.map((img) => [img.naturalWidth, img.naturalHeight]));
    return sizes.some(([w, t]) => t > 0 && Math.abs(w / t - across / down) < 0.05);
  });
});

await check('a photo can be moved to another stage', async () => {
  await at(a, 'photo-thumb').first().click();
  await at(a, 'photo-viewer').waitFor();
  await at(a, 'photo-move').click();
  await at(a, 'sheet-place').waitFor();
  await at(a, 'stage-form_off').click();
  await at(a, 'place-save').click();
  await closed(a, 'place');
  await until('the new stage', async () =>
    (await pour(id)).photos.some((p) => p.fact.stage === 'form_off' && p.edited),
  );
});

await check('a clock that is an hour slow: one shift for all, and back', async () => {
  const { hash } = (await pour(id)).photos[0].fact;
  const started = (await pour(id)).pour.fact.started_ms;
  // Taken 20, 80, 140 minutes after the start and sent at once.
  await log(
    ...[20, 80, 140].map((m, n) =>
      event(
        'photo',
        {
          hash,
          bytes: 9,
          name: `${n}.jpg`,
          format: 'jpeg',
          taken_ms: started + m * 60_000 - HOUR,
          time_source: 'exif_site_zone',
          camera: 'Old Camera',
          pour: id,
          stage: n === 0 ? 'prepare' : 'fresh',
        },
        `slow-000${n}`,
        started + m * 60_000 + 4000,
      ),
    ),
  );
  same(
    (await site()).clock_doubts.map((d) => [d.camera, d.shift_ms, d.photos.length]),
    [['Old Camera', HOUR, 3]],
    'doubts',
  );
  await visit(a);
  await at(a, 'clock-doubt').waitFor();
  must((await at(a, 'clock-doubt').textContent()).includes('Old Camera'), 'the camera is not named');
  await at(a, 'clock-shift').click();
  await until('no more doubts', async () => (await site()).clock_doubts.length === 0);
  const photos = async () => (await pour(id)).photos.filter((p) => p.id.startsWith('slow-'));
  same(
    (await photos()).map((p) => p.fact.taken_ms),
    [20, 80, 140].map((m) => started + m * 60_000),
    'times',
  );
  same((await photos())[0].fact.stage, 'fresh', 'filed anew');
  await at(a, 'toast-undo').click();
  await until('the doubt again', async () => (await site()).clock_doubts.length === 1);
  same((await photos())[0].fact.stage, 'prepare', 'as it was');
});

await check('a step that is not poured has photos; the message says where one went, Change is a tap away', async () => {
  await visit(a, '/log?step=step-e2e-2');
  await at(a, 'photo-input').setInputFiles(large('form.jpg', 2000));
  const said = at(a, 'toast').filter({ hasText: 'Step 2, Form' });
  await said.waitFor();
  await said.getByTestId('toast-more').click();
  await at(a, 'sheet-place').waitFor();
  await at(a, 'stage-base').click();
  must((await at(a, 'place-save').textContent()).includes('Step 2, Base'), 'the button does not say what it does');
  await at(a, 'place-save').click();
  await closed(a, 'place');
  const photos = async (n) => (await site()).steps[n - 1].photos.map((p) => [p.fact.stage, p.fact.filing]);
  await until('the stage that was chosen', async () => JSON.stringify(await photos(2)) === '[["base","hand"]]');
  await visit(a);
  must((await at(a, 'step-photos').textContent()).includes('Step 2'), 'the photos of the step do not show');
});

await check('a stage follows what is logged later', async () => {
  await visit(a, `/pour/${id}`);
  await at(a, 'photo-input').setInputFiles(large('late.jpg', 1000));
  await until('one more photo', async () => (await pour(id)).photos.some((p) => p.fact.name === 'late.jpg'));
  const late = async () => (await pour(id)).photos.find((p) => p.fact.name === 'late.jpg');
  const { fact, id: photo } = await late();
  same(fact.filing, 'stage', 'who files it');
  await log(event('correction', { target: photo, changes: { taken_ms: T + 20 * HOUR } }));
  same((await late()).fact.stage, 'setting', 'twenty hours on, by a log without a form off');
  await log(event('observation', { pour: id, at_ms: T + 19 * HOUR, what: 'stripped_clean' }));
  same((await late()).fact.stage, 'form_off', 'once the form off is entered');
});

await check('without the hub it is said where a photo will be, and can be changed before it is sent', async () => {
  await visit(a);
  await isReady(a);
  await h.stop();
  await visit(a, '/log?step=step-e2e-2');
  await at(a, 'photo-input').setInputFiles(large('offline.jpg', 3000));
  const said = at(a, 'toast').filter({ hasText: 'Step 2, Form' });
  await said.waitFor();
  await said.getByTestId('toast-more').click();
  await at(a, 'sheet-place').waitFor();
  await a.locator('[data-testid="place-step"][data-step="3"]').click();
  await at(a, 'stage-mesh').click();
  await at(a, 'place-save').click();
  await closed(a, 'place');
  await back();
  await letIn(a);
  await visit(a);
  await until(
    'the photo where it was put',
    async () =>
      JSON.stringify((await site()).steps[2].photos.map((p) => [p.fact.name, p.fact.stage])) ===
      '[["offline.jpg","mesh"]]',
  );
});

await check('nothing complained in the page', () => quiet(a));
await finish();
