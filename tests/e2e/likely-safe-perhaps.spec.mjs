// Between the likely and the safe time the app says perhaps and leaves it to the thumb; only
// the safe end is shown as now. The hub is started anew at three times of the same pour.
// Promise: "*Likely* is its middle; *safe* is its cautious end, and only that is shown as **now**."
// Promise: "Between the two the app says *perhaps*, and the thumb decides."
import { check, finish, must, same } from './stage.mjs';
import { at, back, h, letIn, logPour, opens, phoneOf, pour, quiet, site, visit } from './reed-bank.mjs';

const a = await phoneOf('Ada');
const id = await logPour(a, 16);
const { early, likely, late } = await opens(id, 'form_off');
const state = async () => (await pour(id)).milestones.find((m) => m.kind === 'form_off').state;

/** Looks at the pour at another time, by the clock of the hub and of the phone. */
async function lookAt(ms) {
  const clock = new Date(ms).toISOString();
  await h.stop();
  await back({ clock });
  await letIn(a);
  await a.clock.setSystemTime(new Date(ms));
  await visit(a, `/pour/${id}`);
  await at(a, 'milestone-form_off').waitFor();
}
const shown = () => at(a, 'milestone-form_off').getAttribute('data-state');

await check('before the earliest time it is not yet', async () => {
  await lookAt(early - 3_600_000);
  same([await state(), await shown()], ['later', 'later'], 'state');
  must((await at(a, 'not-yet').textContent()).toLowerCase().includes('form'), await at(a, 'not-yet').textContent());
});

await check('between likely and safe it is perhaps, by touch', async () => {
  await lookAt((likely + late) / 2);
  same([await state(), await shown()], ['maybe', 'maybe'], 'state');
  const said = await at(a, 'now-block').textContent();
  must(said.includes('Test first: take the form off') && said.includes('Scratch an edge'), said);
  same(
    (await site()).due.filter((d) => d.kind === 'form_off'),
    [],
    'nobody is told of it yet',
  );
  // The first screen says the same of the step.
  await visit(a);
  const card = a.locator('[data-testid="step-card"][data-step="1"]');
  must((await card.textContent()).includes('Perhaps'), await card.textContent());
});

await check('from the safe time on it is now', async () => {
  await lookAt(late + 600_000);
  same([await state(), await shown()], ['now', 'now'], 'state');
  same(
    (await site()).due.some((d) => d.kind === 'form_off'),
    true,
    'due',
  );
  same(await at(a, 'now-block').getAttribute('data-phase'), 'form_off', 'phase');
});

await check('the curve has its table beside it', async () => {
  await at(a, 'curve').waitFor();
  const section = at(a, 'fold-curve');
  must((await section.locator('table tr').count()) > 3, 'no table');
});

await check('nothing complained in the page', () => quiet(a));
await finish();
