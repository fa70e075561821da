// The few things that need the hub say so when it is away, and lead on; what a phone has
// reckons its times without it.
// Promise: "The planning pages and the advice beside the time line need the hub."
import { check, finish, must, same } from './stage.mjs';
import { at, isReady, logPour, phoneOf, quiet, visit } from './reed-bank.mjs';

const a = await phoneOf('Ada');
const id = await logPour(a, 16);
await isReady(a);
for (const part of ['', '/buy', '/days', '/check']) {
  await visit(a, `/plan${part}`);
  await at(a, 'plan-page').locator('h2').first().waitFor();
}
await a.context().setOffline(true);

for (const part of ['', '/buy', '/days', '/check']) {
  await check(`without a signal the plan${part} says that it needs the hub`, async () => {
    await visit(a, `/plan${part}`);
    await at(a, 'plan-page').getByText('this needs the hub', { exact: false }).first().waitFor();
    must(await at(a, 'bar-steps').isVisible(), 'there is no way on');
  });
}

await check('the pour itself has its times', async () => {
  await visit(a, `/pour/${id}`);
  await at(a, 'milestone-form_off').waitFor();
  same(await a.locator('[data-testid^="milestone-"]').count(), 11, 'milestones');
});

await check('when the hub is back the plan is there again', async () => {
  await a.context().setOffline(false);
  await visit(a, '/plan/buy');
  await at(a, 'buy-bags').waitFor();
});

await check('nothing complained in the page', () => quiet(a));
await finish();
