// A pour is logged with a few taps, the time filled in; what cannot be is said at once, and
// everything else may come later.
// Promise: "press **Log a pour**. The time is filled in; everything else may come later."
import { check, finish, must, same } from './stage.mjs';
import { at, MORNING, phoneOf, pour, quiet, site, visit } from './reed-bank.mjs';

const a = await phoneOf('Ada');
let id;

await check('a pour is logged with a few taps, and what cannot be is said at once', async () => {
  await visit(a);
  await at(a, 'log-pour').click();
  await at(a, 'log-form').waitFor();
  await at(a, 'in-air_c').fill('72');
  await at(a, 'wrong-air_c').waitFor();
  must(await at(a, 'save-pour').isDisabled(), 'a pour at 72 °C could be saved');
  await at(a, 'in-air_c').fill('16,5');
  await at(a, 'in-concrete_c').fill('18');
  await at(a, 'log-more').locator('summary').click();
  await at(a, 'in-rh_pct').fill('55');
  await at(a, 'in-wind_kmh').fill('9');
  await at(a, 'sky-broken').click();
  await at(a, 'batch-add').click();
  await at(a, 'in-water_l').fill('5');
  await at(a, 'bags-more').click();
  await at(a, 'save-pour').click();
  await at(a, 'pour-screen').waitFor();
  id = a.url().split('/').at(-1);
  const view = await pour(id);
  same([view.pour.fact.air_c, view.pour.fact.rh_pct, view.pour.fact.sky], [16.5, 55, 'broken'], 'weather');
  same(Math.abs(view.pour.fact.started_ms - Date.parse(MORNING)) < 600_000, true, 'the start is now');
  same([view.mixed.bags, view.batches.length], [2.5, 1], 'bags');
});

await check('nothing but the tap on Save is needed', async () => {
  await visit(a);
  await at(a, 'log-pour').click();
  await at(a, 'save-pour').click();
  await at(a, 'pour-screen').waitFor();
  const view = await pour(a.url().split('/').at(-1));
  same([view.card.step_number, view.pour.fact.mix], [2, 'mix-e2e-1'], 'the next step, the only mix');
  same(Math.abs(view.pour.fact.started_ms - Date.parse(MORNING)) < 600_000, true, 'the start is now');
});

await check('the other things are added later', async () => {
  await at(a, 'edit-pour').click();
  await at(a, 'in-air_c').fill('12');
  await at(a, 'in-concrete_c').fill('15');
  await at(a, 'save-pour').click();
  await at(a, 'sheet-pour').waitFor({ state: 'detached' });
  await at(a, 'milestone-form_off').waitFor();
  await at(a, 'add-batch').click();
  await at(a, 'save-batch').click();
  await at(a, 'batch-entry').waitFor();
  same((await site()).steps.filter((s) => s.pour).length, 2, 'pours');
});

await check('nothing complained in the page', () => quiet(a));
await finish();
