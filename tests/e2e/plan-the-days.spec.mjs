// When each step that is left can be poured; another day is asked for, seen, and kept.
// Promise: "when each step that is left can be poured, with one form, one liner, your working hours and this weather"
// Promise: "Ask *if step 4 is poured on Saturday at nine*, see what follows, and keep the day."
import { check, finish, must, until } from './stage.mjs';
import { at, fits, log, MORNING, nineSteps, plan, screen } from './plan-site.mjs';

await nineSteps();
const [{ step }] = (await plan('/checks')).steps;
await log(['pour', { step, started_ms: Date.parse(MORNING), air_c: 14, concrete_c: 16 }, 'pour-plan-0001']);

await check('the days follow from the pour, and another time can be tried and kept', async () => {
  await screen('days');
  await at('slot-2').waitFor();
  const before = await plan('/schedule');
  const [first, second] = before.slots.filter((s) => s.pour === null);
  must(first.start_ms > Date.parse(MORNING) + 24 * 3_600_000, 'step 2 is planned before step 1 can carry it');
  must(second.start_ms >= first.next_step.late, 'step 3 is planned before step 2 can carry it');
  await at('bar-2').waitFor();
  await at('try-2').click();
  await at('in-planned_ms').fill('2026-05-16T09:00');
  await at('try-go').click();
  await at('keep-day').waitFor();
  const said = await at('asked').textContent();
  must(said.includes('Step 2') && said.includes('Step 3') && said.includes('16 May'), said);
  // By key: it came where the tap before was, and would be taken for its echo.
  await at('keep-day').press('Enter');
  await until(
    'the day is kept',
    async () =>
      (await plan('/schedule')).slots.find((s) => s.number === 2).start_ms === Date.parse('2026-05-16T09:00:00+02:00'),
  );
  // Too early is said, with the first time that is safe.
  await at('asked').waitFor({ state: 'detached' });
  await at('try-2').click();
  await at('in-planned_ms').fill('2026-05-04T19:00');
  await at('try-go').click();
  await until('the warning', async () => (await at('asked').textContent()).includes('not before'));
  await at('asked-off').click();
  await at('free-2').click();
  await until(
    'the day is free',
    async () => (await plan('/schedule')).slots.find((s) => s.number === 2).start_ms === first.start_ms,
  );
});

await check('people have days off', async () => {
  const now = (await plan('/schedule')).slots.find((s) => s.number === 2).start_ms;
  const name = new Intl.DateTimeFormat('en', { weekday: 'short', timeZone: 'Europe/Oslo' }).format(now).toLowerCase();
  await at(`day-${name}`).click();
  await until('a later day', async () => (await plan('/schedule')).slots.find((s) => s.number === 2).start_ms > now);
  await until('the day is off', async () => (await at(`day-${name}`).getAttribute('aria-pressed')) === 'false');
});

await check('it fits a phone', () => fits('days'));
await finish();
