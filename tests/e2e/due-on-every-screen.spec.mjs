// What is due comes to every open screen by itself, whichever it is; the strip leads to its
// pour, Later and Done answer it, and the answer counts on the other phone as well.
// Promise: "What is due stands at the top of every screen while the app is open."
import { check, finish, must, same, until } from './stage.mjs';
import { at, back, event, h, log, origin, phoneOf, quiet, site, T, visit } from './reed-bank.mjs';

// Three days after the pour, at noon by the clock of the site.
const NOON = '2024-05-06T10:00:00Z';
await h.stop();
await back({ clock: NOON });
const a = await phoneOf('Ada', NOON);
const b = await phoneOf('Ben', NOON);
const id = 'pour-e2e-due';
const due = async (kind) => (await site()).due.some((d) => d.kind === kind);

await check('a form that is due stands on the settings of one and the plan of the other', async () => {
  await a.goto(`${origin}/settings/language`);
  await visit(b, '/plan/buy');
  await at(b, 'buy-bags').waitFor();
  same([await at(a, 'due-banner').count(), await at(b, 'due-banner').count()], [0, 0], 'before anything is due');
  await log(event('pour', { step: 'step-e2e-1', mix: 'mix-e2e-1', started_ms: T, air_c: 16, concrete_c: 18 }, id));
  // The hub looks at its clock every 15 s.
  for (const page of [a, b])
    await at(page, 'due-banner').filter({ hasText: 'form' }).first().waitFor({ timeout: 40_000 });
  must((await at(a, 'due-banner').first().boundingBox()).y < 200, 'it does not stand at the top');
  same(await at(a, 'due-banner').first().getAttribute('role'), 'alert', 'said aloud');
});

await check('it leads to its pour', async () => {
  await at(b, 'due-banner').filter({ hasText: 'form' }).first().locator('a').click();
  await at(b, 'pour-screen').waitFor();
  must(b.url().endsWith(`/pour/${id}`), b.url());
});

await check('Later makes it wait, Undo brings it back', async () => {
  await visit(a);
  await at(a, 'due-form_off').getByTestId('due-later').click();
  await until('it waits', async () => !(await due('form_off')));
  await at(a, 'toast-undo').click();
  await until('it is due again', () => due('form_off'));
  await at(a, 'due-form_off').waitFor();
});

await check('Done on one phone is done on the other', async () => {
  await visit(b);
  await at(b, 'due-form_off').waitFor();
  await at(a, 'due-form_off').getByTestId('due-done').click();
  await at(b, 'due-form_off').waitFor({ state: 'detached' });
  same(await due('form_off'), false, 'still due');
});

await check('nothing complained in the pages', () => quiet(a, b));
await finish();
