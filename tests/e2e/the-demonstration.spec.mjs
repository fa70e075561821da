// The demonstration as a newcomer meets it: nine steps of a rowing club, what may be done now
// on each, the page of a pour, its curve; on a phone and at a desk. The pictures of README.md
// are taken here, at a fixed time (SLOWSTONE_SHOTS=1).
// Promise: "The demonstration shows volunteers of a rowing club (invented) who cast nine board-marked steps down to a canoe landing."
// Promise: "The list of sites says on each what is due there first."
import { check, desk, finish, hub, must, open, phone, same, shot } from './stage.mjs';

// The demonstration is laid out around the time at which it is made.
const WHEN = '2026-10-14T13:40:00Z';
const h = await hub({ clock: WHEN, empty: false });
const page = await open({ ...phone, deviceScaleFactor: 1.5 }, WHEN);
const at = (id) => page.getByTestId(id);
const step = (n) => page.locator(`[data-testid="step-card"][data-step="${n}"]`);
let view;

await check('nine steps down to a canoe landing, and who cast them', async () => {
  await page.goto(h.url);
  await at('site-due').waitFor();
  const said = await at('site-due').textContent();
  await at('site-link').first().click();
  await at('step-card').first().waitFor();
  const first = await at('due-list').locator('li strong').first().textContent();
  must(first && said.includes(first), `the list says ${said}, the site ${first}`);
  const [card] = await h.ask('/api/sites');
  view = await h.ask(`/api/sites/${card.id}`);
  same([card.name, card.steps], ['Canoe landing', 9], 'the site');
  must(view.site.fact.place.length > 0 && view.steps.some((s) => s.pour), 'nothing is poured');
});

await check('the first screen says for every step what may be done now and what comes next', async () => {
  for (const { step: s, pour } of view.steps) {
    const shown = step(s.fact.number);
    same(await shown.count(), 1, `cards of step ${s.fact.number}`);
    if (pour) same(await shown.getAttribute('data-phase'), pour.phase, `phase of step ${s.fact.number}`);
    must((await shown.textContent()).trim().length > 8, `step ${s.fact.number} says nothing`);
  }
  must((await at('due-list').locator('li').count()) > 0, 'nothing is due');
  await shot(page, 'site-phone');
});

await check('the page of a pour says where it is and what must not be done yet', async () => {
  await step(5).click();
  await at('pour-screen').waitFor();
  await at('now-block').waitFor();
  must((await at('not-yet').count()) > 0, 'what must not be done is missing');
  await shot(page, 'pour-phone');
});

await check('the curve of strength has its band, and the temperatures below it', async () => {
  await at('curve').waitFor();
  must((await at('curve').locator('path, polygon, polyline').count()) >= 3, 'a line, a band and a temperature');
  // What comes later and stands above it would move it.
  await page.waitForLoadState('networkidle');
  await page.evaluate(() => document.querySelector('[data-testid="curve"]').scrollIntoView({ block: 'center' }));
  await shot(page, 'curve-phone');
});

for (const [name, colorScheme] of [
  ['site-desk', 'light'],
  ['site-desk-dark', 'dark'],
]) {
  await check(`at a desk the flight stands beside the pour, ${colorScheme}`, async () => {
    const wide = await open({ ...desk, colorScheme }, WHEN);
    await wide.goto(h.url);
    await wide.getByTestId('site-link').first().click();
    await wide.getByTestId('pour-screen').waitFor();
    await wide.getByTestId('milestone-form_off').waitFor();
    must(await wide.getByTestId('site-screen').isVisible(), 'the flight is gone');
    await shot(wide, name);
    same(wide.complaints, [], 'console');
  });
}

await check('nothing complained in the page', () => same(page.complaints, [], 'console'));
await finish();
