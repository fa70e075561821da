// A phone's own stream in a real browser: two pages of one phone, entries of an earlier
// version, a phone that was copied with all its storage, and a hub that is set back to an
// old backup. The rules are in ui/src/lib/streams.ts; two phones are in offline.spec.mjs.
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { check, finish, folder, hub, must, open, phone, program, same, until } from './stage.mjs';

const MORNING = '2024-05-03T05:00:00Z';
const SITE = 'site-e2e-0001';
let h = await hub({ clock: MORNING });
const { data, origin } = h;
const port = Number(new URL(origin).port);
const event = (id, kind, body) => ({ id, site: SITE, by: 'Ada', at_ms: Date.parse(MORNING), kind, body });
const token = new URL(h.url).searchParams.get('t');
const made = await fetch(`${origin}/api/events`, {
  method: 'POST',
  headers: { authorization: `Bearer ${token}`, 'content-type': 'application/json' },
  body: JSON.stringify({ events: [event(SITE, 'site', { name: 'Reed bank', place: '', tz: 'Europe/Oslo', units: 'metric' })] }),
});
must(made.ok, await made.text());

const at = (page, id) => page.getByTestId(id);
const airs = async () => (await h.ask(`/api/sites/${SITE}`)).weather.map((r) => r.fact.air_c).sort((a, b) => a - b);
const arrived = (wanted) => until(`the readings ${wanted}`, async () => JSON.stringify(await airs()) === JSON.stringify(wanted) || Promise.reject(new Error(JSON.stringify(await airs()))), 60);
async function reading(page, air) {
  await at(page, 'bar-reading').click();
  await at(page, 'in-air_c').fill(String(air));
  await at(page, 'save-reading').click();
  await at(page, 'sheet-reading').waitFor({ state: 'detached' });
}
async function show(page) {
  await page.context().addInitScript(() => localStorage.setItem('slowstone.person', 'Ada'));
  await page.goto(h.url);
  await page.goto(`${origin}/site/${SITE}`);
  await at(page, 'site-screen').waitFor();
  return page;
}
/** Does something with the phone's storage. */
const rows = (page, area, put = null) =>
  page.evaluate(
    ([name, row]) =>
      new Promise((done, fail) => {
        const request = indexedDB.open('slowstone');
        request.onerror = () => fail(request.error);
        request.onsuccess = () => {
          const store = request.result.transaction(name, 'readwrite').objectStore(name);
          if (row) store.put(row);
          const all = store.getAll();
          all.onsuccess = () => {
            request.result.close();
            done(all.result);
          };
        };
      }),
    [area, put],
  );
const device = async (page) => (await rows(page, 'meta')).find((r) => r.id === 'device').device;
const heads = async (page) => (await h.ask(`/api/streams?device=${await device(page)}`)).heads;

const a = await show(await open(phone, MORNING));
let b;

await check('two pages of one phone write one stream without holes', async () => {
  await reading(a, 1);
  const second = await a.context().newPage();
  await second.clock.install({ time: new Date(MORNING) });
  await show(second);
  await Promise.all([reading(a, 2), reading(second, 3)]);
  await arrived([1, 2, 3]);
  await until('all sent', async () => (await rows(a, 'outbox')).length === 0);
  same((await rows(a, 'sent')).map((r) => r.seq), [1, 2, 3], 'numbers');
  const told = await heads(a);
  same([told.length, told[0].seq], [1, 3], 'streams and the end at the hub');
  await second.close();
});

await check('what an earlier version kept goes with the rest', async () => {
  const { id: _, hub: name } = (await rows(a, 'meta')).find((r) => r.id === 'hub');
  await rows(a, 'outbox', { hub: name, at: 5, event: event('old-version-0001', 'reading', { air_c: 4, at_ms: Date.parse(MORNING) }) });
  await a.reload();
  await arrived([1, 2, 3, 4]);
  same((await heads(a)).map((x) => x.seq), [4], 'the end at the hub');
});

await check('a phone that was copied loses nothing, on either side', async () => {
  await a.context().setOffline(true);
  await reading(a, 5);
  const storageState = await a.context().storageState({ indexedDB: true });
  b = await open({ ...phone, storageState }, MORNING);
  await b.context().route('**/api/streams', (route) => route.abort());
  await show(b);
  same(await device(b), await device(a), 'the copy has the name of the first');
  await reading(b, 7);
  await reading(a, 6);
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
  execFileSync(program, ['backup', backup, '--data', data], { stdio: 'pipe' });
  await reading(a, 8);
  await reading(a, 9);
  await arrived([1, 2, 3, 4, 5, 6, 7, 8, 9]);
  // Away until then: whoever comes first fills in for others too, in a stream of its own.
  await b.context().setOffline(true);
  const before = await heads(a);
  await h.stop('SIGKILL');
  execFileSync(program, ['restore', backup, '--data', restored], { stdio: 'pipe' });
  h = await hub({ clock: MORNING, data: restored, port, empty: false });
  same(await airs(), [1, 2, 3, 4, 5, 6, 7], 'the backup');
  for (const page of [a, b]) await page.request.get(h.url);
  await arrived([1, 2, 3, 4, 5, 6, 7, 8, 9]);
  await b.context().setOffline(false);
  await until('the same ends', async () => JSON.stringify(await heads(a)) === JSON.stringify(before) || Promise.reject(new Error(JSON.stringify(await heads(a)))), 60);
});

await check('nothing complained in the pages', () => same([...a.complaints, ...b.complaints], [], 'console'));
await finish();
