// A phone's own stream in a real browser: two pages of one phone, entries of an earlier
// version, a phone that was copied with all its storage, and a hub that is set back to an
// old backup, which the phones fill again. The rules are in src-tauri/crates/sync/src/outbox.rs.
// Promise: "phones send again what it lacks"
import { join } from 'node:path';
import { check, finish, folder, must, open, phone, same, until } from './stage.mjs';
import {
  at,
  back,
  data,
  event,
  h,
  letIn,
  logReading,
  MORNING,
  noBanner,
  origin,
  phoneOf,
  quiet,
  rows,
  run,
  SITE,
  site,
  T,
} from './reed-bank.mjs';

const airs = async () => (await site()).weather.map((r) => r.fact.air_c).sort((a, b) => a - b);
const arrived = (wanted) =>
  until(
    `the readings ${wanted}`,
    async () =>
      JSON.stringify(await airs()) === JSON.stringify(wanted) ||
      Promise.reject(new Error(JSON.stringify(await airs()))),
    60,
  );
/** Lets a page in that was not opened by `phoneOf`, and shows the site on it. */
async function show(page) {
  await page.context().addInitScript(() => localStorage.setItem('slowstone.person', 'Ada'));
  await page.goto(h.url);
  await page.goto(`${origin}/site/${SITE}`);
  await at(page, 'site-screen').waitFor();
  return page;
}
const device = async (page) => (await rows(page, 'meta')).find((r) => r.id === 'device').device;
const heads = async (page) => (await h.ask(`/api/streams?device=${await device(page)}`)).heads;

const a = await phoneOf('Ada');
let b;

await check('two pages of one phone write one stream without holes', async () => {
  await logReading(a, 1);
  const second = await a.context().newPage();
  await second.clock.install({ time: new Date(MORNING) });
  await show(second);
  await Promise.all([logReading(a, 2), logReading(second, 3)]);
  await arrived([1, 2, 3]);
  await until('all sent', async () => (await rows(a, 'outbox')).length === 0);
  same(
    (await rows(a, 'sent')).map((r) => r.seq),
    [1, 2, 3],
    'numbers',
  );
  const told = await heads(a);
  same([told.length, told[0].seq], [1, 3], 'streams and the end at the hub');
  await second.close();
});

await check('what an earlier version kept goes with the rest', async () => {
  const { id: _, hub: name } = (await rows(a, 'meta')).find((r) => r.id === 'hub');
  await rows(a, 'outbox', { hub: name, at: 5, event: event('reading', { air_c: 4, at_ms: T }, 'old-version-0001') });
  await a.reload();
  await arrived([1, 2, 3, 4]);
  same(
    (await heads(a)).map((x) => x.seq),
    [4],
    'the end at the hub',
  );
});

await check('a phone that was copied loses nothing, on either side', async () => {
  await a.context().setOffline(true);
  await logReading(a, 5);
  const storageState = await a.context().storageState({ indexedDB: true });
  b = await open({ ...phone, storageState }, MORNING);
  await b.context().route('**/api/streams', (route) => route.abort());
  await show(b);
  same(await device(b), await device(a), 'the copy has the name of the first');
  await logReading(b, 7);
  await logReading(a, 6);
  await a.context().setOffline(false);
  await arrived([1, 2, 3, 4, 5, 6]);
  await b.context().unroute('**/api/streams');
  await b.reload();
  await arrived([1, 2, 3, 4, 5, 6, 7]);
  const told = await heads(a);
  same([told.length, new Set(told.map((x) => x.stream.epoch)).size], [2, 2], 'streams of the one name');
  for (const page of [a, b]) await until('nothing waits', async () => (await rows(page, 'outbox')).length === 0);
});

await check('a hub that was set back gets the same records again, not new ones', async () => {
  const [backup, restored] = [join(folder(), 'backup'), join(folder(), 'restored')];
  run('backup', backup, '--data', data);
  await logReading(a, 8);
  await logReading(a, 9);
  await arrived([1, 2, 3, 4, 5, 6, 7, 8, 9]);
  // Away until then: whoever comes first fills in for others too, in a stream of its own.
  await b.context().setOffline(true);
  const before = await heads(a);
  await h.stop('SIGKILL');
  run('restore', backup, '--data', restored);
  await back({ folder: restored });
  same(await airs(), [1, 2, 3, 4, 5, 6, 7], 'the backup');
  for (const page of [a, b]) await letIn(page);
  await arrived([1, 2, 3, 4, 5, 6, 7, 8, 9]);
  await b.context().setOffline(false);
  await until(
    'the same ends',
    async () =>
      JSON.stringify(await heads(a)) === JSON.stringify(before) ||
      Promise.reject(new Error(JSON.stringify(await heads(a)))),
    60,
  );
});

await check('a hub that was set back to an old backup is refilled by the phones', async () => {
  const [backup, restored] = [join(folder(), 'backup'), join(folder(), 'restored')];
  run('backup', backup, '--data', data);
  await a.goto(`${origin}/site/${SITE}`);
  await logReading(a, 6.5);
  const lost = (r) => r.fact.air_c === 6.5;
  await until('the reading', async () => (await site()).weather.some(lost));
  await until('the reading on the other phone', async () =>
    (await rows(b, 'events')).some((r) => r.event.body.air_c === 6.5),
  );
  await h.stop('SIGKILL');
  run('restore', backup, '--data', restored);
  await back({ folder: restored });
  must(!(await site()).weather.some(lost), 'the backup has what came after it');
  await letIn(a);
  await until('the reading is back', async () => (await site()).weather.some(lost), 60);
  same((await site()).weather.filter(lost).length, 1, 'times that it is there');
  await letIn(b);
  for (const page of [a, b]) await page.goto(`${origin}/site/${SITE}`);
  await until(
    'the same on both',
    async () => (await rows(a, 'outbox')).length + (await rows(b, 'outbox')).length === 0,
  );
  for (const page of [a, b]) await noBanner(page);
});

await check('nothing complained in the pages', () => quiet(a, b));
await finish();
