// Every record can be corrected and taken back, and brought back; its history shows who
// changed what and when, what stood there before, and each change can be undone by itself.
// Promise: "Every record can be corrected or taken back, and its history shows who changed what, when."
import { check, finish, must, same, until } from './stage.mjs';
import { at, closed, logPour, phoneOf, pour, quiet, site, visit } from './reed-bank.mjs';

const a = await phoneOf('Ada');
const b = await phoneOf('Ben');
const id = await logPour(a, 14);
const history = async (page) => {
  await at(page, 'edit-pour').click();
  await at(page, 'history').locator('summary').click();
  await at(page, 'history').locator('li').first().waitFor();
};

await check('Ben corrects what Ada logged', async () => {
  await visit(b, `/pour/${id}`);
  await at(b, 'edit-pour').click();
  await at(b, 'history').waitFor();
  await at(b, 'in-air_c').fill('11');
  await at(b, 'save-pour').click();
  await closed(b, 'pour');
  await until('the correction', async () => (await pour(id)).pour.fact.air_c === 11);
});

await check('the history says who, when, what, and what stood there before', async () => {
  await until('the correction on the page of Ada', async () =>
    (await at(a, 'pour-screen').textContent()).includes('changed'),
  );
  await history(a);
  const lines = await at(a, 'history').locator('li').allTextContents();
  same(lines.length, 2, 'changes');
  must(lines[0].includes('Ada') && lines[1].includes('Ben'), `who: ${lines}`);
  must(/3 May/.test(lines[1]), `when: ${lines[1]}`);
  same(
    await at(a, 'history').locator('s').allTextContents(),
    ['14 °C'.replace(' ', '\u00a0')].map((x) => x),
    'what it was before',
  );
});

await check('the correction alone is taken back', async () => {
  await at(a, 'history').locator('li').nth(1).getByRole('button').click();
  await until('the value of before', async () => (await pour(id)).pour.fact.air_c === 14);
  await a.keyboard.press('Escape');
  await closed(a, 'pour');
});

await check('a pour is taken back, its page says so and brings it back', async () => {
  await history(a);
  await at(a, 'take-back').click();
  await until('no pour', async () => (await site()).steps.every((s) => !s.pour));
  await visit(a, `/pour/${id}`);
  await at(a, 'restore').click();
  await until('the pour again', async () => (await site()).steps.some((s) => s.pour?.id === id));
  await at(a, 'now-block').waitFor();
  same((await pour(id)).batches.length, 1, 'its batch came back with it');
});

await check('what it is built with can be corrected as well', async () => {
  await visit(a, '/setup');
  await at(a, 'edit-mix').first().click();
  await at(a, 'history').waitFor();
  await at(a, 'in-name').fill('Bag, blue');
  await at(a, 'save-mix').click();
  await closed(a, 'mix');
  await until('the name', async () => (await site()).mixes[0].fact.name === 'Bag, blue');
});

await check('nothing complained in the pages', () => quiet(a, b));
await finish();
