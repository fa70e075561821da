// Two people correct the same value without seeing each other: both are kept, the first
// screen asks, and one tap settles it on both phones.
// Promise: "Two people changed the same thing without seeing each other: both values are kept, and the first screen asks which one holds."
import { check, finish, same, until } from './stage.mjs';
import {
  at,
  banner,
  closed,
  equal,
  isReady,
  logPour,
  origin,
  phoneOf,
  pour,
  quiet,
  rows,
  SITE,
  site,
} from './reed-bank.mjs';

const a = await phoneOf('Ada');
const b = await phoneOf('Ben');
const first = await logPour(a, 14);

async function correctAir(page, id, air) {
  await page.goto(`${origin}/site/${SITE}/pour/${id}`);
  await at(page, 'edit-pour').click();
  // What was seen goes with the correction.
  await at(page, 'history').waitFor();
  await at(page, 'in-air_c').fill(String(air));
  await at(page, 'save-pour').click();
  await closed(page, 'pour');
}

await check('both phones show the same', async () => {
  for (const page of [a, b]) await page.goto(`${origin}/site/${SITE}`);
  await equal(a, b);
});

await check('two corrections that did not see each other are both kept and shown to be settled', async () => {
  for (const page of [a, b]) await isReady(page);
  await until('the pour on both phones', async () => {
    const has = async (page) => (await rows(page, 'events')).some((r) => r.id === first);
    return (await has(a)) && (await has(b));
  });
  await a.context().setOffline(true);
  await b.context().setOffline(true);
  await correctAir(a, first, 8);
  await correctAir(b, first, 21);
  await banner(a, 1, 0);
  await banner(b, 1, 0);
  for (const page of [a, b]) await page.goto(`${origin}/site/${SITE}`);
  await b.context().setOffline(false);
  await until('the correction of one', async () => (await pour(first)).pour.fact.air_c === 21);
  await a.context().setOffline(false);
  for (const page of [a, b]) await at(page, 'conflict-notice').waitFor();
  await equal(a, b);
  await at(b, 'conflict-notice').locator('a').click();
  const offered = at(b, 'conflicts').locator('button');
  await offered.first().waitFor();
  same((await offered.allTextContents()).map((x) => x.split(' ')[0]).sort(), ['21', '8'], 'both values');
  await offered.filter({ hasText: /^8 / }).click();
  await until(
    'it is settled',
    async () => (await site()).conflicts.length === 0 && (await pour(first)).pour.fact.air_c === 8,
  );
  await at(a, 'conflict-notice').waitFor({ state: 'detached' });
});

await check('nothing complained in the pages', () => quiet(a, b));
await finish();
