// The list to buy: one batch at a glance, ticked off, as a table, on paper, pigment by weight.
// Promise: "one batch at a glance, and a list to tick off, to print or to take along as a table: bags, pigment by weight, mesh, gravel, boards, rubber, covers"
import { check, finish, must, same, until } from './stage.mjs';
import { at, fits, h, id, log, nineSteps, page, plan, screen, sheetGone } from './plan-site.mjs';

await nineSteps();
await log(['liner', { name: 'Slate', relief_mm: 4 }, 'liner-plan-0001']);

await check('it lists what the nine steps take', async () => {
  await screen('buy');
  const items = (await plan()).list.map((i) => i.item);
  for (const item of ['bags', 'mesh', 'gravel', 'boards', 'rubber', 'covers'])
    must(
      items.some((i) => i.startsWith(item.slice(0, 4))),
      `${item} is not on the list: ${items}`,
    );
});

await check('the list is ticked off, and is there as a table and on paper', async () => {
  await screen('buy');
  await at('buy-bags').waitFor();
  const view = await plan();
  const bags = view.list.find((i) => i.item === 'bags');
  must(bags.amount === Math.ceil(bags.exact) && bags.amount > 50, `bags: ${JSON.stringify(bags)}`);
  await at('buy-bags').check();
  await until('the tick', async () => (await plan()).list.find((i) => i.item === 'bags').bought);
  const csv = await page.evaluate((path) => fetch(path).then((a) => a.text()), `/api/sites/${id}/plan/list.csv`);
  must(/^"Bags",.*,"yes"\r?$/m.test(csv) && /^"Mesh",.*,"no"\r?$/m.test(csv), csv);
  // A barrow of 60 L takes four bags of 14 L; a batch of two before.
  same(await at('batch-bags').textContent(), '2 bags', 'batch');
  await at('edit-materials').click();
  await at('in-mixer_l').fill('60');
  await at('save-materials').click();
  await sheetGone('materials');
  await until('the batch', async () => (await at('batch-bags').textContent()) === '4 bags');
  await page.emulateMedia({ media: 'print' });
  must(await at('buy-bags').isVisible(), 'the list is not on paper');
  must(!(await at('print').isVisible()) && !(await at('plan-days').isVisible()), 'buttons are on paper');
  await page.emulateMedia({ media: 'screen' });
});

await check('pigment goes in by weight', async () => {
  await page.goto(`${h.origin}/site/${id}/setup`);
  await at('add-additive').click();
  await at('in-name').fill('Ochre');
  await at('save-additive').click();
  await sheetGone('additive');
  await at('add-mix').click();
  await at('in-name').fill('Bag');
  await at('save-mix').click();
  await sheetGone('mix');
  await screen('buy');
  await at('edit-doses').click();
  await at('in-dose_pct').fill('3');
  await at('save-doses').click();
  // 4 bags of 30 kg with 14 % cement: 16.8 kg; 3 % of it is 504 g.
  await until('the dose', async () => (await at('batch-dose').textContent()).startsWith('504'));
});

await check('a keyboard reaches the list and ticks it off', async () => {
  await screen('flight');
  await at('plan-flight').focus();
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await at('buy-bags').waitFor();
  await at('buy-mesh').focus();
  await page.keyboard.press('Space');
  await until('the tick', async () => (await plan()).list.find((i) => i.item === 'mesh').bought);
});

await check('it fits a phone', () => fits('buy'));
await finish();
