// A step that is poured already and a start that lies ahead are asked about; both pours stay in
// sight; and what the next step takes is that of the last step, not of a patch poured since.
// Promise: "A step that is poured already, or a start that lies ahead, is asked about, also when a pour is moved to another step, and both pours of a step stay in sight."
// Promise: "Batch, mix and form are as in the last step, never as in a test patch."
import { join } from 'node:path';
import { check, finish, must, out, same, until } from './stage.mjs';
import { at, event, log, logPour, MORNING, phoneOf, pour, quiet, site, SITE, T, visit, h } from './reed-bank.mjs';

const a = await phoneOf('Ada');
const HOUR = 3_600_000;
let first;
let second;

await check('a step that is poured is asked about, and saving waits for the answer', async () => {
  await visit(a);
  first = await logPour(a, 14);
  await visit(a, '/log?step=step-e2e-1');
  await at(a, 'second-pour').waitFor();
  await at(a, 'in-air_c').fill('13');
  await at(a, 'save-pour').press('Enter');
  await at(a, 'second-pour').getByRole('alert').waitFor();
  same((await site()).steps[0].pour.id, first, 'nothing was logged');
  // The wrong step: another one is chosen, and nothing is asked of it.
  await at(a, 'second-wrong').click();
  same(await a.evaluate(() => document.activeElement.dataset.testid), 'in-step', 'where it leads');
  await at(a, 'in-step').selectOption('step-e2e-2');
  await at(a, 'second-pour').waitFor({ state: 'detached' });
  await at(a, 'in-step').selectOption('step-e2e-1');
  await at(a, 'second-replaces').press('Enter');
  same(await at(a, 'second-replaces').getAttribute('aria-pressed'), 'true', 'the answer');
  await at(a, 'save-pour').press('Enter');
  await at(a, 'pour-screen').waitFor();
  second = a.url().split('/').at(-1);
  same((await pour(second)).pour.fact.second_pour, 'replaces', 'what was recorded');
});

await check('both pours are shown on the flight and on the page of each', async () => {
  await visit(a);
  await at(a, 'other-pour').first().waitFor();
  must((await at(a, 'other-pour').first().textContent()).includes('replaced by a new attempt'), 'what became of it');
  await at(a, 'other-pour').first().click();
  await a.waitForURL(`**/pour/${first}`);
  await at(a, 'replaced').waitFor();
  // By key: on the spot of the tap before, it would be taken for its echo.
  await at(a, 'other-pour').first().press('Enter');
  await a.waitForURL(`**/pour/${second}`);
  await at(a, 'second-pour').waitFor();
  const view = await site();
  same([view.steps[0].pour.id, view.steps[0].others.map((c) => c.id)], [second, [first]], 'the step');
  must(
    view.due.every((d) => d.pour !== first),
    'what was replaced is due',
  );
});

await check('a pour that is moved to a step that is poured is asked about as well', async () => {
  await log(event('pour', { step: 'step-e2e-2', started_ms: T - HOUR, air_c: 12 }, 'pour-e2e-moved'));
  const moved = async () => {
    const { fact } = (await pour('pour-e2e-moved')).pour;
    return [fact.step, fact.second_pour ?? null];
  };
  await visit(a, '/pour/pour-e2e-moved');
  await at(a, 'edit-pour').click();
  await at(a, 'in-step').selectOption('step-e2e-1');
  await at(a, 'second-pour').waitFor();
  must((await at(a, 'second-pour').textContent()).includes('poured already'), 'what is asked');
  same(await at(a, 'in-second_pour').count(), 0, 'the same thing is asked twice');
  await at(a, 'save-pour').click();
  await at(a, 'second-pour').getByRole('alert').waitFor();
  same(await moved(), ['step-e2e-2', null], 'nothing was changed without an answer');
  // The wrong step: focus goes to where another one is chosen, and back on its own step nothing is asked.
  await at(a, 'second-wrong').click();
  same(await a.evaluate(() => document.activeElement.dataset.testid), 'in-step', 'where it leads');
  await at(a, 'in-step').selectOption('step-e2e-2');
  await at(a, 'second-pour').waitFor({ state: 'detached' });
  await at(a, 'in-step').selectOption('step-e2e-1');
  same(await at(a, 'second-layer').getAttribute('aria-pressed'), 'false', 'an answer to an earlier question');
  await a.screenshot({ path: join(out, 'moved-to-a-poured-step.png') });
  await at(a, 'second-layer').click();
  await at(a, 'save-pour').click();
  await at(a, 'save-pour').waitFor({ state: 'detached' });
  await until('the answer', async () => (await moved())[0] === 'step-e2e-1');
  same(await moved(), ['step-e2e-1', 'layer'], 'what was recorded');
  await log(event('retraction', { target: 'pour-e2e-moved' }));
});

await check('a log of any program with two pours shows both', async () => {
  await log(
    event('pour', { step: 'step-e2e-3', started_ms: T - 40 * HOUR, air_c: 12 }, 'pour-e2e-old1'),
    event('pour', { step: 'step-e2e-3', started_ms: T - 20 * HOUR, air_c: 12 }, 'pour-e2e-old2'),
  );
  await visit(a);
  await until('both', async () => (await at(a, 'other-pour').count()) === 2);
  same(
    (await site()).steps[2].others.map((c) => c.id),
    ['pour-e2e-old1'],
    'the earlier one',
  );
});

await check('a start that lies ahead is asked about; confirmed it is shown as planned', async () => {
  await visit(a, '/log?step=step-e2e-2');
  await at(a, 'in-air_c').fill('13');
  await at(a, 'in-started_ms').fill('2024-05-05T09:00');
  await at(a, 'start-ahead').waitFor();
  await at(a, 'save-pour').press('Enter');
  await at(a, 'start-ahead').getByRole('alert').waitFor();
  same((await site()).steps[1].pour, null, 'nothing was logged');
  await at(a, 'ahead-yes').click();
  await at(a, 'save-pour').press('Enter');
  await at(a, 'pour-screen').waitFor();
  const id = a.url().split('/').at(-1);
  const planned = await pour(id);
  same([planned.card.no_prediction, planned.milestones.length], ['starts_later', 0], 'what is reckoned');
  await at(a, 'now-block').getByText('lies ahead').waitFor();
  await visit(a);
  must(
    (await a.locator('[data-testid="step-card"][data-step="2"]').innerText()).includes('lies ahead'),
    'the flight says so',
  );
  // A slip is put right with one tap.
  await visit(a, '/log?step=step-e2e-2');
  await at(a, 'in-started_ms').fill('2024-05-04T09:00');
  await at(a, 'ahead-now').click();
  await at(a, 'start-ahead').waitFor({ state: 'detached' });
  await log(event('retraction', { target: id }));
});

await check('the next step is filled from the last step and never from a patch', async () => {
  await log(
    event('additive', { name: 'Ochre', kind: 'pigment', min_pct: 1, max_pct: 6 }, 'ochre-e2e'),
    // Two bags of 25 kg with 14 % cement: 140 g are 2 %.
    event('batch', { pour: second, bags: 2, water_l: 5, additives: [{ additive: 'ochre-e2e', amount: 140 }] }),
    event('pour', { name: 'patch', mix: 'mix-e2e-1', started_ms: T - HOUR, air_c: 12 }, 'patch-e2e-1'),
    event('batch', {
      pour: 'patch-e2e-1',
      bags: 0.25,
      water_l: 0.7,
      additives: [{ additive: 'ochre-e2e', amount: 52.5 }],
    }),
    event('pour', { name: 'patch', mix: 'mix-e2e-1', started_ms: T + 600_000, air_c: 12 }, 'patch-e2e-2'),
    event('batch', {
      pour: 'patch-e2e-2',
      bags: 0.25,
      water_l: 0.7,
      additives: [{ additive: 'ochre-e2e', amount: 52.5 }],
    }),
  );
  await until('the batch of the last step', async () => {
    await a.evaluate((site) => localStorage.removeItem(`slowstone.draft.${site}`), SITE);
    await visit(a, '/log?step=step-e2e-2');
    await a.waitForTimeout(300);
    await at(a, 'batch-add').click();
    return (
      (await at(a, 'bags').first().textContent()) === '2' && (await at(a, 'in-amount').first().inputValue()) === '140'
    );
  });
  same(await at(a, 'in-water_l').first().inputValue(), '5', 'water');
  // The plan doses what is next as the step was, 2 % and not the patch's 6.
  const plan = await h.ask(`/api/sites/${SITE}/plan`);
  same(
    plan.recipe.doses.map((d) => Math.round(d.dose_pct * 100) / 100),
    [2],
    'dose',
  );
  await visit(a, '/plan/buy');
  await at(a, 'batch-dose').waitFor();
  must((await a.locator('main').innerText()).includes('as in the last step'), 'where the dose comes from');
});
await check('the console is silent', () => quiet(a));
await finish();
