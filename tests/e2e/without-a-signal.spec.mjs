// A phone that was near the hub once works on without it: it opens, a pour has its full
// prediction at once, a photo stands on its pour, and later the hub says the same.
// Promise: "Open the page once near the hub. From then on it opens without it, and everything works"
import { join } from 'node:path';
import { check, corpus, finish, must, same, until } from './stage.mjs';
import {
  at,
  back,
  banner,
  cards,
  h,
  isReady,
  large,
  letIn,
  line,
  logPour,
  noBanner,
  origin,
  phoneOf,
  PIECE,
  pour,
  quiet,
  rows,
  SITE,
  site,
} from './reed-bank.mjs';

const a = await phoneOf('Ada');
let first;
let told;

await check('a phone that was once near the hub keeps the app and the log', async () => {
  await isReady(a);
  await at(a, 'bar-more').click();
  await a.locator('[data-testid="phone-offline"][data-ready="true"]').waitFor();
});

await check('without a signal the app opens and shows the same', async () => {
  await a.goto(`${origin}/site/${SITE}`);
  await at(a, 'step-card').first().waitFor();
  const before = await cards(a);
  await a.context().setOffline(true);
  await a.reload();
  await at(a, 'step-card').first().waitFor();
  await banner(a, 0, 0);
  same(await cards(a), before, 'the steps');
  await a.goto(origin);
  await at(a, 'site-link').first().waitFor();
  await at(a, 'site-link').first().click();
  await at(a, 'step-card').first().waitFor();
});

await check('a pour logged without a signal has its full prediction at once', async () => {
  first = await logPour(a, 14);
  same(await at(a, 'now-block').getAttribute('data-phase'), 'fresh', 'phase');
  for (const id of ['curve', 'not-yet', 'basis', 'now-marker'])
    must(await at(a, id).first().count(), `${id} is missing`);
  told = await line(a);
  same(told.length, 11, 'milestones');
  must(
    told.every((m) => /\d\d:\d\d|\d May|dry/.test(m)),
    `a milestone without a time: ${told}`,
  );
  await banner(a, 2, 0);
  must((await at(a, 'waiting').textContent()).includes('2 entries'), 'the badge does not say how many');
  const view = await site();
  must(
    view.steps.every((s) => !s.pour),
    'the hub knows of it already',
  );
});

await check('what cannot be is said at once, also without a signal', async () => {
  await a.evaluate(() => localStorage.setItem('slowstone.units', ''));
  await at(a, 'bar-reading').click();
  await at(a, 'in-at_ms').fill('2034-05-03T05:00');
  await at(a, 'in-air_c').fill('9');
  await at(a, 'save-reading').click();
  // Ten years ahead is a fact about a clock, not an error: it is kept.
  await at(a, 'sheet-reading').waitFor({ state: 'detached' });
  await banner(a, 3, 0);
  await at(a, 'reading').last().click();
  await at(a, 'take-back').click();
  await at(a, 'sheet-reading').waitFor({ state: 'detached' });
  await banner(a, 4, 0);
});

await check('a photo taken without a signal stands on its pour, marked', async () => {
  await at(a, 'photo-input').setInputFiles([join(corpus, 'gen_orient_6.jpg'), large('big.jpg', 3 * PIECE)]);
  await at(a, 'photo-waiting').nth(1).waitFor();
  await until('the pictures', () =>
    a
      .locator('[data-testid="photo-waiting"] img')
      .evaluateAll((all) => all.length === 2 && all.every((i) => i.naturalWidth > 0)),
  );
  await banner(a, 4, 2);
  // A closed browser loses nothing of it.
  await a.reload();
  await at(a, 'photo-waiting').nth(1).waitFor();
  await banner(a, 4, 2);
  same((await rows(a, 'photos')).length, 2, 'photos kept');
});

await check('the hub says the same as the phone did', async () => {
  await h.stop('SIGKILL');
  await back();
  await letIn(a);
  await a.context().setOffline(false);
  await noBanner(a);
  await a.reload();
  await at(a, 'milestone-form_off').waitFor();
  same(await line(a), told, 'the time line');
  same((await pour(first)).batches.length, 1, 'batches: nothing came twice');
});

await check('nothing complained in the page', () => quiet(a));
await finish();
