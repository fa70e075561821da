// What to look at before concrete is mixed: ticked off, changed, and shown at the pour, which
// it does not hold up.
// Promise: "what to look at before concrete is mixed. The list is yours to change; what is still open stands where the pour is logged"
import { check, finish, must, same, until } from './stage.mjs';
import { at, fits, nineSteps, plan, screen } from './plan-site.mjs';

await nineSteps();

await check('points of the check are ticked, changed, and shown at the pour', async () => {
  await screen('check');
  await at('check-open').waitFor();
  same(await at('check-open').textContent(), '10', 'open points');
  await at('tick').first().check();
  await until('nine open', async () => (await at('check-open').textContent()) === '9');
  await at('check-change').click();
  await at('point-new').fill('Tell the neighbours');
  await at('point-add').click();
  await until('ten open', async () => (await at('check-open').textContent()) === '10');
  await at('point-out').nth(1).click();
  await until('nine open again', async () => (await at('check-open').textContent()) === '9');
  await at('check-change').click();
  await at('check-log').click();
  await at('open-points').waitFor();
  must((await at('open-points').textContent()).includes('9 points'), 'the number is not said');
  await at('open-points').locator('summary').click();
  must((await at('open-points').textContent()).includes('Tell the neighbours'), 'the point is not named');
  // Data, never a gate: it is poured all the same.
  await at('in-air_c').fill('14');
  await at('in-concrete_c').fill('16');
  await at('save-pour').click();
  await at('pour-screen').waitFor();
  await screen('check');
  await until('step 2', async () => (await plan('/checks')).steps[0].number === 2);
});

await check('it fits a phone', () => fits('check'));
await finish();
