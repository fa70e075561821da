// The hub as somebody starts it: it prints its address, holds its own SQLite file with the
// demonstration in it, and Ctrl-C ends it with everything kept. What `cargo xtask run` does
// before that is in xtask's setup.rs and run.rs.
// Promise: "starts the hub on this computer with its own SQLite file and a demonstration site, prints the address and opens it in the browser"
// Promise: "Ctrl-C stops the hub; everything that was logged is stored."
// Promise: "sh src-tauri/start.sh"
// Promise: "Everything stays in one folder on the computer that runs the hub: `log.sqlite` (append-only; a correction never erases), `photos/`"
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { check, finish, folder, hub, must, open, phone, same, until } from './stage.mjs';

const data = folder();
let h = await hub({ data, empty: false });
const page = await open(phone);
const at = (id) => page.getByTestId(id);
let before;

await check('the address that it prints opens the demonstration', async () => {
  must(/^http:\/\/(127\.0\.0\.1|localhost):\d+\//.test(h.url), h.url);
  await page.goto(h.url);
  await at('site-link').first().click();
  await at('step-card').first().waitFor();
  same(page.url().includes('t='), false, 'the key stays in the address');
});

await check('its folder holds an SQLite file and the photos', async () => {
  // "SQLite format 3", then a zero: the first 16 bytes of every such file (sqlite.org/fileformat.html).
  same(readFileSync(join(data, 'log.sqlite')).subarray(0, 15).toString(), 'SQLite format 3', 'head of the log');
  must(existsSync(join(data, 'photos')) && readdirSync(join(data, 'photos')).length > 0, 'no photos');
});

await check('what is logged is there after Ctrl-C and a new start', async () => {
  await at('bar-reading').click();
  await at('in-air_c').fill('7.5');
  await at('save-reading').click();
  await at('name-input').fill('Ada');
  await at('name-save').press('Enter');
  await at('sheet-reading').waitFor({ state: 'detached' });
  const [{ id }] = await h.ask('/api/sites');
  before = (await h.ask(`/api/sites/${id}`)).weather.length;
  same(await h.stop('SIGINT'), 0, 'exit status');
  h = await hub({ data, empty: false });
  const view = await h.ask(`/api/sites/${id}`);
  same([view.weather.length, view.weather.some((r) => r.fact.air_c === 7.5)], [before, true], 'readings');
  same((await h.ask('/api/sites')).length, 1, 'the demonstration comes once');
});

await check('--empty begins without the demonstration', async () => {
  const bare = await hub();
  same(await bare.ask('/api/sites'), [], 'sites');
  const other = await open(phone);
  await other.goto(bare.url);
  await other.getByTestId('first-pour').waitFor();
});

await check('the page comes from this computer alone', async () => {
  const asked = [];
  // A page of its own: the other one still asks for the hub that was ended.
  const page = await open(phone);
  page.on('request', (r) => asked.push(new URL(r.url()).host));
  await page.goto(h.url);
  await until('requests', () => asked.length > 3);
  same(
    [...new Set(asked)].filter((host) => host !== new URL(h.origin).host),
    [],
    'other computers',
  );
  same(page.complaints, [], 'console');
});

await finish();
