// How much pigment matches a step: the dose in grams per bag, the test patch that is logged
// with it, and what is not said: nothing beyond what was tried.
// Promise: "*Dose* draws the colour against the amount of a pigment, from steps and from test patches (log a pour as *a sample, no step*), and names the grams per bag that match a step."
// Promise: "It says nothing beyond what was tried, the supplier's limit and 10 % of the cement."
import { check, finish, must, same } from './stage.mjs';
import { at, bring, enter, fits, h, measure, page, pour, SITE } from './colour-site.mjs';

await bring(1, 2, 3, 4, 5, 6, 7);
await measure(1, 2, 3, 4, 5, 6, 7);
await page.context().addInitScript(() => localStorage.setItem('slowstone.person', 'Ada'));
await enter();

await check('the screen of doses is one tap from the colours', async () => {
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

await check('nothing is said beyond what was tried and the limit of the supplier', async () => {
  const dose = await h.ask(`/api/sites/${SITE}/dose?additive=red-oxide&mix=mix-grey-1&match=${pour(7)}`);
  const most = Math.max(...dose.curve.map((p) => p.dose_pct));
  must(most <= 6, `a colour at ${most} %, where the supplier allows 6`);
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

await check('the screen fits a phone, and buttons can be hit', () => fits('colour/dose'));
await finish();
