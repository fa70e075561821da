// What happened to a pour: the first tap marks, a second one only unmarks, the button at the
// other end logs and says what and when; minus and plus for the time, a photo and words along,
// one way back. A second tap of a wet glove logs nothing else.
// Promise: "Log what happened by its picture: the first tap marks, the button at the other end logs and says what and when, and one tap takes it back."
import { join } from 'node:path';
import { check, corpus, finish, must, same, until } from './stage.mjs';
import { T, at, closed, event, log, logPour, phoneOf, pour, quiet, site, visit } from './reed-bank.mjs';

const MIN = 60_000;
const a = await phoneOf('Ada');
const id = await logPour(a, 16.5);
// Poured two hours ago.
await log(event('correction', { target: id, changes: { started_ms: T - 120 * MIN } }));
await visit(a, `/pour/${id}`);
const seen = async () => (await pour(id)).observations.map((o) => [o.fact.what, o.fact.at_ms, o.fact.note]);
const shut = async () => (await at(a, 'sheet-happened').count()) === 0;

await check('a tap marks, a second one unmarks, and nothing is logged by it', async () => {
  await at(a, 'bar-happened').click();
  must(await at(a, 'obs-log').isDisabled(), 'something can be logged before anything is marked');
  await at(a, 'obs-thumb_6mm').click();
  same(await at(a, 'obs-thumb_6mm').getAttribute('aria-pressed'), 'true', 'marked');
  must(
    /^Log: thumb: 6 mm, 7:0\d/.test(await at(a, 'obs-log').textContent()),
    `the button says: ${await at(a, 'obs-log').textContent()}`,
  );
  await at(a, 'obs-thumb_6mm').click();
  must(await at(a, 'obs-log').isDisabled(), 'still marked');
  await at(a, 'obs-sheen_gone').click();
  await at(a, 'obs-thumb_faint').click();
  same(await a.locator('[data-testid="sheet-happened"] [aria-pressed="true"]').count(), 1, 'one thing is marked');
  same(await seen(), [], 'logged');
});

await check('minus and plus move the time by five minutes, never into the future', async () => {
  must(await at(a, 'happened-later').isDisabled(), 'a time to come can be chosen');
  const began = (await at(a, 'happened-time').textContent()).trim();
  await at(a, 'happened-earlier').click();
  await at(a, 'happened-earlier').click();
  same(await at(a, 'happened-time').textContent(), began === '7:00' ? '6:50' : '6:55', 'the time');
  await at(a, 'happened-later').click();
  same(await at(a, 'happened-time').textContent(), began === '7:00' ? '6:55' : '7:00', 'the time');
  await at(a, 'obs-log').click();
  await closed(a, 'happened');
  await until('what was marked', async () => (await seen()).length === 1);
  same(await seen(), [['thumb_faint', began === '7:00' ? T - 5 * MIN : T, '']], 'logged');
  await at(a, 'toast-undo').click();
  await until('nothing again', async () => (await seen()).length === 0);
});

await check('words and a photo go along', async () => {
  await at(a, 'bar-happened').click();
  await at(a, 'obs-edge_damage').click();
  await at(a, 'happened-words').click();
  await at(a, 'in-note').fill('left front, the size of a thumb');
  await at(a, 'happened-photo').setInputFiles(join(corpus, 'gen_orient_6.jpg'));
  await at(a, 'obs-log').click();
  await closed(a, 'happened');
  await until('both', async () => (await seen()).length === 1 && (await pour(id)).photos.length === 1);
  same((await seen())[0][2], 'left front, the size of a thumb', 'the words');
});

await check('a wet glove that taps twice logs one thing, and opens nothing', async () => {
  await visit(a, `/pour/${id}`);
  await at(a, 'bar-happened').click();
  await at(a, 'obs-wetted').click();
  const box = await at(a, 'obs-log').boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  const under = await at(a, 'bar-happened').boundingBox();
  must(x > under.x && x < under.x + under.width && y > under.y - 20, 'under the button lies something that is pressed');
  for (let i = 0; i < 3; i += 1) await a.touchscreen.tap(x, y);
  await until('one more', async () => (await seen()).length === 2);
  await a.waitForTimeout(600);
  same(
    (await seen()).map(([what]) => what),
    ['wetted', 'edge_damage'],
    'logged',
  );
  must(await shut(), 'the second tap opened the sheet again');
});

await check(
  'a reading with gloves on: minus and plus for the temperature and the time, the wind by its picture',
  async () => {
    await visit(a);
    await at(a, 'bar-reading').click();
    // The first press shows a mild day where nothing was read, the next ones move it.
    await at(a, 'more-air_c').click();
    same(await at(a, 'in-air_c').inputValue(), '15', 'where it begins');
    await at(a, 'more-air_c').click();
    await at(a, 'less-air_c').click();
    await at(a, 'less-air_c').click();
    same(await at(a, 'in-air_c').inputValue(), '14', 'after one up and two down');
    await at(a, 'wind-leaves').click();
    same(await at(a, 'in-wind_kmh').inputValue(), '9', 'the wind that moves leaves');
    await at(a, 'in-wind_kmh').fill('22');
    same(await at(a, 'wind-twigs').getAttribute('aria-pressed'), 'true', 'the picture of what was typed');
    await at(a, 'less-at_ms').click();
    await at(a, 'save-reading').click();
    await closed(a, 'reading');
    const last = await until('the reading', async () => (await site()).weather[0]);
    same([last.fact.air_c, last.fact.wind_kmh, last.fact.at_ms % (5 * MIN)], [14, 22, 0], 'logged');
    await at(a, 'bar-reading').click();
    await at(a, 'less-air_c').click();
    same(await at(a, 'in-air_c').inputValue(), '14', 'begins at what was read last');
    await at(a, 'sheet-close').click();
  },
);

await check('nothing complained in the page', () => quiet(a));
await finish();
