// How to begin a site of one's own, with its steps, a mix, an additive, a form and a liner, now
// or later. In three taps a first pour is logged, from an empty hub as from an empty site.
// Promise: "To begin your own, choose **New site**."
// Promise: "Say how many steps, their width, depth and rise. A mix, additives, form and liner can be set up now or later."
// Promise: "From an empty hub that is three taps"
import { check, finish, hub, must, open, phone, same, until } from './stage.mjs';

const MORNING = '2024-05-03T05:00:00Z';
const h = await hub({ clock: MORNING });
const page = await open(phone, MORNING);
const at = (id) => page.getByTestId(id);
const site = async () => {
  const [card] = await h.ask('/api/sites');
  return h.ask(`/api/sites/${card.id}`);
};
const saved = (id) => at(`sheet-${id}`).waitFor({ state: 'detached' });

await check('an empty hub leads to a first site', async () => {
  await page.goto(h.url);
  await at('new-site').click();
  await at('in-name').fill('Reed bank');
  await at('in-place').fill('North shore');
  await at('in-tz').fill('Europe/Oslo');
  await at('save-site').click();
  // The name of the person is asked once, when there is something to sign.
  await at('name-input').fill('Ada');
  await at('name-save').press('Enter');
  await at('start').waitFor();
  same((await site()).site.fact.tz, 'Europe/Oslo', 'time zone');
  same((await site()).site.by, 'Ada', 'signed by');
});

await check('a time zone that does not exist is refused in the form', async () => {
  const other = await open(phone, MORNING);
  await other.goto(h.url);
  await other.getByTestId('new-site').click();
  await other.getByTestId('in-name').fill('Nowhere');
  await other.getByTestId('in-tz').fill('Mars/Base');
  await other.getByTestId('save-site').click();
  if (await other.getByTestId('name-sheet').count()) {
    await other.getByTestId('name-input').fill('Ada');
    await other.getByTestId('name-save').press('Enter');
  }
  await other.getByTestId('wrong-tz').waitFor();
  await other.context().close();
});

await check('one button makes a flight with a mix and a form', async () => {
  must(await at('start-n').isVisible(), 'the number of steps is not shown');
  await at('in-rise_m').fill('160');
  await at('start-go').click();
  await at('step-card').first().waitFor();
  const view = await site();
  same([view.steps.length, view.mixes.length, view.forms.length], [5, 1, 1], 'steps, mixes, forms');
  same(view.steps[0].step.fact.rise_m, 0.16, 'millimetres typed, metres kept');
});

await check('an additive and a liner are set up', async () => {
  await at('bar-more').click();
  await at('add-additive').click();
  await at('in-name').fill('Ochre iron oxide');
  await at('in-min_pct').fill('1');
  await at('in-max_pct').fill('6');
  await at('save-additive').click();
  await saved('additive');
  await at('add-liner').click();
  await at('in-name').fill('Slate');
  await at('in-relief_mm').fill('4');
  await at('save-liner').click();
  await saved('liner');
  const view = await site();
  same([view.additives[0].fact.kind, view.additives[0].fact.max_pct], ['pigment', 6], 'additive');
  same(view.liners[0].fact.relief_mm, 4, 'liner');
});

/** Presses something and counts it as a tap. */
async function tap(page, id, taps) {
  await page.getByTestId(id).first().click();
  taps.push(id);
}
const poured = async (empty) => {
  const [card] = await empty.ask('/api/sites');
  const view = await empty.ask(`/api/sites/${card.id}`);
  return view.steps.filter((s) => s.pour).map((s) => s.step.fact.number);
};

await check('from an empty hub to the first pour in three taps', async () => {
  const empty = await hub({ clock: MORNING });
  const other = await open({ ...phone, timezoneId: 'Europe/Oslo' }, MORNING);
  await other.goto(empty.url);
  const taps = [];
  await tap(other, 'first-pour', taps);
  await other.getByTestId('name-input').fill('Ada');
  await tap(other, 'name-save', taps);
  await tap(other, 'save-pour', taps);
  await other.getByTestId('pour-screen').waitFor();
  same(taps.length, 3, `taps: ${taps}`);
  same(await poured(empty), [1], 'step 1 is poured');
  const [card] = await empty.ask('/api/sites');
  const view = await empty.ask(`/api/sites/${card.id}`);
  same(
    [view.site.fact.tz, view.steps.length, view.mixes.length, view.forms.length],
    ['Europe/Oslo', 5, 1, 1],
    'what was filled in',
  );
  // Its name and its steps are given when there is time.
  await other.goto(`${empty.origin}/site/${card.id}/setup`);
  await other.getByTestId('edit-site').click();
  await other.getByTestId('in-name').fill('Reed bank');
  await other.getByTestId('save-site').click();
  await until('the name', async () => (await empty.ask('/api/sites'))[0].name === 'Reed bank');
  same(other.complaints, [], 'console');
  await other.context().close();
});

await check('from an empty site to the first pour in three taps', async () => {
  const empty = await hub({ clock: MORNING });
  const other = await open(phone, MORNING);
  await other.goto(empty.url);
  await other.getByTestId('new-site').click();
  await other.getByTestId('save-site').click();
  await other.getByTestId('name-input').fill('Ada');
  await other.getByTestId('name-save').press('Enter');
  await other.getByTestId('start').waitFor();
  const taps = [];
  await tap(other, 'start-go', taps);
  await other.getByTestId('step-card').first().waitFor();
  await tap(other, 'log-pour', taps);
  await tap(other, 'save-pour', taps);
  await other.getByTestId('pour-screen').waitFor();
  same(taps.length, 3, `taps: ${taps}`);
  same(await poured(empty), [1], 'step 1 is poured');
  await other.context().close();
});

await check('nothing complained in the page', () => same(page.complaints, [], 'console'));
await finish();
