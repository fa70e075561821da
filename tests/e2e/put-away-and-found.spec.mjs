// A finished site: its mix is copied to the next one and used there; it is put away, found, and
// brought back.
// Promise: "A finished site is put away and still found by **Find**; a mix, an additive or a check list is copied to the next one."
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { check, finish, hub, must, open, phone, same, until } from './stage.mjs';

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
/** What axe finds on a page; evaluated as the inspector does, so no policy of the page stops it. */
async function axe(on) {
  await on.evaluate(axeSource);
  return on.evaluate(() => globalThis.axe.run());
}

const first = await hub({ clock: '2026-10-28T10:00:00Z', empty: false });
const page = await open(phone);
await page.goto(first.url);
const [{ id: site }] = await first.ask('/api/sites');
const handOver = async () => {
  await page.goto(`${first.origin}/site/${site}/handover`);
  await page.getByTestId('hand-count').waitFor();
};
await handOver();

await check('a mix is copied to a new site and used there', async () => {
  await page.getByTestId('copy-what').selectOption({ label: 'Mix: Garden concrete, 30 kg bag' });
  await page.getByTestId('copy-to').selectOption('');
  await page.getByTestId('copy-name').fill('Peldaños del jardín');
  await page.getByTestId('copy-go').click();
  const name = page.getByTestId('name-input');
  if (await name.isVisible({ timeout: 1500 }).catch(() => false)) {
    await name.fill('Tuva');
    await name.press('Enter');
  }
  const fresh = await until('the new site', async () =>
    (await first.ask('/api/sites')).find((s) => s.name === 'Peldaños del jardín'),
  );
  const view = await until('its mix', async () => {
    const v = await first.ask(`/api/sites/${fresh.id}`);
    return v.mixes.length === 1 && v;
  });
  same(view.mixes[0].fact.name, 'Garden concrete, 30 kg bag', 'mix');
  same(view.problems, [], 'problems');
  // A pour on the new site has the copied mix without being told.
  await page.goto(`${first.origin}/site/${fresh.id}/log`);
  await page.getByTestId('log-form').waitFor();
  await page.getByTestId('in-air_c').fill('16');
  await page.getByTestId('in-concrete_c').fill('18');
  await page.getByTestId('batch-add').click();
  await page.getByTestId('save-pour').click();
  await page.getByTestId('pour-screen').waitFor();
  const pour = await until('the pour', async () => {
    const [one] = (await first.ask(`/api/sites/${fresh.id}`)).samples;
    return one && first.ask(`/api/sites/${fresh.id}/pours/${one.id}`);
  });
  same(pour.mix.id, view.mixes[0].id, 'mix of the pour');
  must(pour.milestones.length > 4, 'it is reckoned');
});

await check('an additive and the check list go to the same site', async () => {
  await handOver();
  const fresh = (await first.ask('/api/sites')).find((s) => s.name === 'Peldaños del jardín').id;
  const names = await page.getByTestId('copy-what').locator('option').allTextContents();
  for (const kind of ['Additive', 'Check']) {
    await page.getByTestId('copy-what').selectOption({ label: names.find((n) => n.startsWith(kind)) });
    await page.getByTestId('copy-to').selectOption(fresh);
    await page.getByTestId('copy-go').click();
    await page.getByTestId('toast').first().waitFor();
  }
  const there = await until('the additive', async () => {
    const view = await first.ask(`/api/sites/${fresh}`);
    return view.additives.length === 1 && view;
  });
  same(there.problems, [], 'problems');
  await until('the check list', async () => (await first.ask(`/api/sites/${fresh}/plan/checks`)).list.id);
});

await check('a site that was put away leaves the list and is found by a search', async () => {
  await handOver();
  await page.getByTestId('archive').click();
  await page.getByTestId('is-archived').waitFor();
  await page.goto(first.origin);
  await page.getByTestId('site-link').first().waitFor();
  same(await page.getByTestId('site-link').count(), 1, 'sites in the list');
  await page.getByTestId('to-find').click();
  await page.getByTestId('find-words').fill('CANOE landing');
  await page.getByTestId('hit').first().waitFor();
  must((await page.getByTestId('found').textContent()).includes('put away'), 'put away');
  await page.getByTestId('find-words').fill('peldanos');
  await until('the new site', async () => (await page.getByTestId('found').textContent()).includes('Peldaños'));
  await page.getByTestId('find-words').fill('');
  await page.getByTestId('find-kind').selectOption('pour');
  await page.getByTestId('find-by').selectOption('Marit');
  await until(
    'pours of Marit',
    async () =>
      /by Marit/.test(await page.getByTestId('found').textContent()) &&
      !/by Jonas/.test(await page.getByTestId('found').textContent()),
  );
  const { violations } = await axe(page);
  same(
    violations.map((v) => v.id),
    [],
    'axe',
  );
  same(page.complaints, [], 'console');
});

await check('it is brought back to the list', async () => {
  await page.getByTestId('find-words').fill('canoe landing');
  await page.getByTestId('find-by').selectOption('');
  await page.getByTestId('find-kind').selectOption('site');
  await page
    .getByTestId('hit')
    .filter({ hasText: /Site · .*put away/ })
    .first()
    .click();
  await page.getByTestId('step-card').first().waitFor();
  await handOver();
  await page.getByTestId('unarchive').click();
  await until('it is back', async () => !(await first.ask('/api/sites')).find((s) => s.id === site).archived);
  await page.goto(first.origin);
  await until('both sites', async () => (await page.getByTestId('site-link').count()) === 2);
  same(page.complaints, [], 'console');
});

await finish();
