// Undo, right after each kind of thing that a person does: one tap in the message that says
// that it is saved, and everything is as it was.
// Promise: "**Undo** stands in the message after each thing that you did."
import { join } from 'node:path';
import { check, corpus, finish, must, same, until } from './stage.mjs';
import {
  at,
  closed,
  h,
  logPour,
  logReading,
  origin,
  phoneOf,
  pour,
  quiet,
  site,
  SITE,
  visit,
  logSeen,
} from './reed-bank.mjs';

const a = await phoneOf('Ada');
let id;
/** Presses Undo in the newest message and waits until its doing shows. */
async function undo(what, holds) {
  // By key: the message stands where the last one stood, and a tap on it would be taken for an echo.
  await at(a, 'toast-undo').last().press('Enter');
  await until(what, holds);
}
const poured = async () => (await site()).steps.filter((s) => s.pour).length;

await check('a pour, with its batches', async () => {
  await logPour(a, 14);
  same(await poured(), 1, 'pours');
  await undo('no pour', async () => (await poured()) === 0);
  // The page of what is gone leads on: it can be brought back.
  await at(a, 'restore').waitFor();
  await visit(a);
  id = await logPour(a, 14);
  same((await site()).problems, [], 'what was taken back leaves no trouble');
});

await check('an observation', async () => {
  await logSeen(a, 'sheen_gone');
  await until('the observation', async () => (await pour(id)).observations.length === 1);
  await undo('no observation', async () => (await pour(id)).observations.length === 0);
});

await check('a reading', async () => {
  await logReading(a, 9);
  await until('the reading', async () => (await pour(id)).readings.length === 1);
  await undo('no reading', async () => (await pour(id)).readings.length === 0);
});

await check('photos, those that came together at once', async () => {
  await at(a, 'photo-input').setInputFiles([join(corpus, 'gen_orient_6.jpg'), join(corpus, 'gen_big_endian.jpg')]);
  await until('two photos', async () => (await pour(id)).photos.length === 2);
  await until('the message for both', async () => (await at(a, 'photo-thumb').count()) === 2);
  await undo('no photo', async () => (await pour(id)).photos.length === 0);
});

await check('a correction', async () => {
  await at(a, 'edit-pour').click();
  await at(a, 'history').waitFor();
  await at(a, 'in-air_c').fill('3');
  await at(a, 'save-pour').click();
  await closed(a, 'pour');
  await until('the correction', async () => (await pour(id)).pour.fact.air_c === 3);
  await undo('the value of before', async () => (await pour(id)).pour.fact.air_c === 14);
});

await check('a batch that was added, and taking back itself', async () => {
  // Without the messages of before: the one to undo is the only one, however late it comes.
  await visit(a, `/pour/${id}`);
  await at(a, 'add-batch').click();
  await at(a, 'save-batch').click();
  await until('a second batch', async () => (await pour(id)).batches.length === 2);
  await undo('one batch', async () => (await pour(id)).batches.length === 1);
  // And undo of the undo, by key: a finger as fast as this is a wet glove's second tap.
  await at(a, 'toast-undo').last().press('Enter');
  await until('two batches again', async () => (await pour(id)).batches.length === 2);
});

await check('taking a pour back', async () => {
  await visit(a, `/pour/${id}`);
  await at(a, 'edit-pour').click();
  await at(a, 'take-back').click();
  await until('no pour', async () => (await poured()) === 0);
  await undo('the pour', async () => (await poured()) === 1);
});

await check('steps that were set up', async () => {
  await visit(a, '/setup');
  await at(a, 'more-steps').click();
  await at(a, 'more-steps-save').click();
  await until('six steps', async () => (await site()).steps.length === 6);
  await undo('three steps', async () => (await site()).steps.length === 3);
});

await check('putting a site away', async () => {
  const away = async () => (await h.ask('/api/sites'))[0].archived;
  await visit(a, '/handover');
  await at(a, 'archive').click();
  await until('it is put away', away);
  await undo('it is back', async () => !(await away()));
  await at(a, 'archive').waitFor();
});

await check('a tick on the list to buy', async () => {
  const bought = async () => (await h.ask(`/api/sites/${SITE}/plan`)).list.find((i) => i.item === 'bags').bought;
  await visit(a, '/plan/buy');
  await at(a, 'buy-bags').check();
  await until('the tick', bought);
  await undo('no tick', async () => !(await bought()));
});

await check('a change of the site', async () => {
  const units = async () => (await site()).site.fact.units;
  await visit(a, '/setup');
  await at(a, 'edit-site').click();
  await at(a, 'in-units').selectOption('us');
  await at(a, 'save-site').click();
  await until('US units', async () => (await units()) === 'us');
  await undo('metric', async () => (await units()) === 'metric');
});

await check('settings of the hub', async () => {
  const from = async () => (await h.ask('/api/settings/reminders')).settings.rules.quiet_min[0];
  const before = await from();
  await a.goto(`${origin}/settings/remind`);
  await at(a, 'quiet-from').fill('19:30');
  await at(a, 'remind-save').click();
  await until('the quiet hours', async () => (await from()) === 19 * 60 + 30);
  await undo('those of before', async () => (await from()) === before);
});

await check('the message can be reached by keyboard and is said aloud', async () => {
  const toast = at(a, 'toast').last();
  same(await a.locator('.toasts').getAttribute('aria-live'), 'polite', 'live region');
  must((await toast.getByRole('button').boundingBox()).height >= 48, 'a target below 48 px');
});

await check('nothing complained in the page', () => quiet(a));
await finish();
