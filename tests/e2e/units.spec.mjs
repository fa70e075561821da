// A site in US units shows no metric unit on any screen, in the table or in the drawing, and a
// length is read in whatever way people write it.
// Promise: "A site counts in metric or in US units, and a length is read as people write it"
import { at, h, routes, settled, site, written } from './every-screen.mjs';
import { check, finish, must, open, phone, same, until } from './stage.mjs';

const page = await open(phone);
await page.goto(h.url);
await settled(page);

await check('a US site: no metric unit on any screen, in the table or the drawing', async () => {
  await page.goto(`${h.origin}${at}/setup`);
  await page.getByTestId('edit-site').click();
  await page.getByTestId('in-units').selectOption('us');
  await page.getByTestId('save-site').click();
  if (
    await page
      .getByTestId('name-input')
      .isVisible()
      .catch(() => false)
  ) {
    await page.getByTestId('name-input').fill('Ada');
    await page.getByTestId('name-save').press('Enter');
  }
  await page.waitForFunction(
    async (s) => (await (await fetch(`/api/sites/${s}`)).json()).site.fact.units === 'us',
    site,
  );
  const metric = /\d[\s\u00a0\u202f]?(°C|mm|cm|m|m²|km\/h|kg|g|L|ml|MPa|kg\/m²\/h)(?![\w²³/])/;
  const found = [];
  for (const route of routes) {
    await page.goto(h.origin + route);
    await settled(page);
    for (const w of await written(page)) if (metric.test(w)) found.push(`${route.replace(site, 'SITE')}: ${w}`);
  }
  const table = await (
    await fetch(`${h.origin}/api/sites/${site}/plan/list.csv?lang=de`, {
      headers: { authorization: `Bearer ${new URL(h.url).searchParams.get('t')}` },
    })
  ).text();
  must(table.includes('Bewehrungsmatte'), `the table is not in German: ${table.slice(0, 300)}`);
  for (const line of table.split('\n')) if (/"(kg|L|m|m²)"| mm"/.test(line)) found.push(line);
  same(found, [], 'metric on a US site');
});

await check('a length is read in any unit and told in the unit of the site', async () => {
  await page.goto(`${h.origin}${at}/setup`);
  await page.getByTestId('add-step').click();
  const field = page.getByTestId('in-width_m');
  for (const [typed, told] of [
    ['150 mm', '5 7/8"'],
    ['1,2 m', `3'-11 1/4"`],
    ['6ft 3in', `6'-3"`],
    ['5½', '5 1/2"'],
  ]) {
    await field.fill(typed);
    must((await page.getByTestId('echo-width_m').textContent()).includes(told), `${typed} is not told as ${told}`);
  }
  await field.fill('five feet');
  await field.blur();
  must(
    (await page.getByTestId('wrong-width_m').textContent()).includes('350 mm'),
    'a length that cannot be read is not explained',
  );
});

await check('feet, inches and fractions are kept as the metres that they are', async () => {
  const field = page.getByTestId('in-width_m');
  await field.fill(`6'-3"`);
  await page.getByTestId('in-depth_m').fill('17 1/2"');
  await page.getByTestId('in-rise_m').fill('150 mm');
  const before = (await h.ask(`/api/sites/${site}`)).steps.length;
  await page.getByTestId('save-step').click();
  await until('a further step', async () => (await h.ask(`/api/sites/${site}`)).steps.length === before + 1);
  const { fact } = (await h.ask(`/api/sites/${site}`)).steps
    .map((s) => s.step)
    .sort((a, b) => a.fact.number - b.fact.number)
    .at(-1);
  // One inch is 25.4 mm (international yard and pound agreement, 1959).
  same(
    [fact.width_m, fact.depth_m, fact.rise_m].map((x) => Number(x.toFixed(4))),
    [75 * 0.0254, 17.5 * 0.0254, 0.15].map((x) => Number(x.toFixed(4))),
    'metres',
  );
});

await check('back to metric the same step is told in millimetres or metres', async () => {
  await page.goto(`${h.origin}${at}/setup`);
  await page.getByTestId('edit-site').click();
  await page.getByTestId('in-units').selectOption('metric');
  await page.getByTestId('save-site').click();
  await until(
    'metric',
    async () =>
      /1[.,]91? ?m|1[.,]?905/.test((await page.getByTestId('list-step').textContent()).replaceAll('\u00a0', ' ')) ||
      Promise.reject(new Error(await page.getByTestId('list-step').textContent())),
  );
  same(page.complaints, [], 'console');
});

await finish();
