// A small site on a hub of its own, for the tests that need one to work on: "Reed bank", three
// steps and a mix, nothing poured. And what such a test does with a phone: look at what it
// keeps, log a pour, read the time line. Importing this starts the hub; `back` starts it anew.
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { corpus, folder, hub, must, open, phone, program, same, until } from './stage.mjs';

export const MORNING = '2024-05-03T05:00:00Z';
export const T = Date.parse(MORNING);
export const SITE = 'site-e2e-0001';
/** What the app sends of a photo at once (ui/src/log/photos.ts). */
export const PIECE = 1 << 19;

/** The hub that runs now. */
export let h = await hub({ clock: MORNING });
/** Its folder. */
export let { data } = h;
export const { origin } = h;
export const port = Number(new URL(origin).port);
/** Starts the hub anew under its address, with its folder or another one, at another time if asked. */
export async function back({ folder = data, clock = MORNING } = {}) {
  data = folder;
  h = await hub({ clock, data, port, empty: false });
}

/** Sends JSON to the hub; an answer that is no success fails the test. */
export async function send(path, body, method = 'POST') {
  const token = new URL(h.url).searchParams.get('t');
  const answer = await fetch(h.origin + path, {
    method,
    body: JSON.stringify(body),
    headers: { authorization: `Bearer ${token}`, 'content-type': 'application/json' },
  });
  must(answer.ok, `${path}: ${answer.status} ${await answer.clone().text()}`);
  return answer;
}
let n = 0;
/** An entry as Ada would have logged it that morning. */
export const event = (kind, body, id = `${kind}-e2e-${String(++n).padStart(4, '0')}`, at_ms = T) => ({
  id,
  site: SITE,
  by: 'Ada',
  at_ms,
  kind,
  body,
});
export const log = (...events) => send('/api/events', { events });
await log(
  event('site', { name: 'Reed bank', place: '', tz: 'Europe/Oslo', units: 'metric' }, SITE),
  event('flight', { name: 'Landing' }, 'flight-e2e-1'),
  ...[1, 2, 3].map((number) =>
    event('step', { flight: 'flight-e2e-1', number, width_m: 1.2, depth_m: 0.4, rise_m: 0.16 }, `step-e2e-${number}`),
  ),
  event(
    'mix',
    {
      name: 'Bag',
      bag_kg: 25,
      yield_l: 12,
      water_min_l: 2.4,
      water_max_l: 3,
      cement_pct: 14,
      class_mpa: 27.6,
      class_7d_mpa: 17.2,
    },
    'mix-e2e-1',
  ),
);
export const site = () => h.ask(`/api/sites/${SITE}`);
export const pour = (id) => h.ask(`/api/sites/${SITE}/pours/${id}`);
/** When one milestone opens, as the hub reckons it. */
export const opens = async (id, kind) => (await pour(id)).milestones.find((m) => m.kind === kind).opens;

/** A phone whose owner is known, let in by the hub that runs now. */
export async function phoneOf(name, time = MORNING, size = phone) {
  const page = await open(size, time);
  await page
    .context()
    .addInitScript(
      (who) => location.protocol.startsWith('http') && localStorage.setItem('slowstone.person', who),
      name,
    );
  await page.goto(h.url);
  await page.goto(`${origin}/site/${SITE}`);
  await page.getByTestId('site-screen').waitFor();
  return page;
}
export const at = (page, id) => page.getByTestId(id);
/** Shows a screen of the site. */
export const visit = (page, path = '') => page.goto(`${origin}/site/${SITE}${path}`);
/** Runs a command of the program. */
export const run = (...args) => execFileSync(program, args, { stdio: 'pipe' });
/** Lets a browser in after the hub was started anew, as its printed address does. */
export const letIn = (page) => page.request.get(h.url);

/** All rows that a phone keeps of one kind, after one was put there if asked. */
export const rows = (page, area, put = null) =>
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
            done(all.result.map((row) => ({ ...row, bytes: undefined })));
          };
        };
      }),
    [area, put],
  );
/** The phone has the app, the core and the whole log of the site. */
export async function isReady(page) {
  await until('the app on the phone', () =>
    page.evaluate(async () => {
      const there = await navigator.serviceWorker.getRegistration();
      const stores = await caches.keys();
      return (
        Boolean(there?.active) &&
        stores.length === 1 &&
        (await (await caches.open(stores[0])).keys()).some((r) => r.url.includes('/core.wasm'))
      );
    }),
  );
  await until('the log on the phone', async () => {
    const kept = await rows(page, 'meta');
    if (kept.some((r) => r.id === `site:${SITE}` && r.whole)) return true;
    throw new Error(JSON.stringify(kept));
  });
}
/** The strip that says what is only on this phone, or that it is gone. */
export const banner = (page, entries, photos) =>
  page.locator(`[data-testid="offline"][data-entries="${entries}"][data-photos="${photos}"]`).waitFor();
export const noBanner = (page) => at(page, 'offline').waitFor({ state: 'detached' });
export const cards = (page) =>
  page.locator('[data-testid="step-card"]').evaluateAll((all) => all.map((c) => c.innerText.replace(/\s+/g, ' ')));
/** Waits until two phones show the same steps, but for how long ago or ahead things are: their clocks differ. */
export const equal = (a, b, more = () => true) =>
  until('equal screens', async () => {
    const [x, y] = (await Promise.all([a, b].map(cards))).map((all) => all.map((c) => c.replace(/\([^)]*\)/g, '')));
    if (JSON.stringify(x) !== JSON.stringify(y)) throw new Error(`${x.join(' / ')} || ${y.join(' / ')}`);
    return x.length === 3 && more();
  });
/** The time line without what moves with the clock. */
export const line = (page) =>
  page.locator('[data-testid^="milestone-"]').evaluateAll((all) =>
    all.map((li) => {
      const copy = li.cloneNode(true);
      for (const moving of copy.querySelectorAll('.rel, .state')) moving.remove();
      return `${li.dataset.testid} ${copy.textContent.replace(/\([^)]*\)/g, '').replace(/\s+/g, ' ')}`;
    }),
  );

export async function logPour(page, air) {
  await at(page, 'log-pour').click();
  await at(page, 'log-form').waitFor();
  await at(page, 'in-air_c').fill(String(air));
  await at(page, 'in-concrete_c').fill('18');
  await at(page, 'batch-add').click();
  await at(page, 'save-pour').click();
  await at(page, 'pour-screen').waitFor();
  await page.locator('[data-testid="now-block"]').waitFor();
  return page.url().split('/').at(-1);
}
/** Logs on the page of a pour what happened to it just now. */
export async function logSeen(page, what) {
  await at(page, 'happened-open').click();
  await at(page, `obs-${what}`).click();
  await at(page, 'obs-log').click();
  await closed(page, 'happened');
}
export async function logReading(page, air) {
  await at(page, 'bar-reading').click();
  await at(page, 'in-air_c').fill(String(air));
  await at(page, 'save-reading').click();
  await at(page, 'sheet-reading').waitFor({ state: 'detached' });
}
/** Waits until a sheet has closed, which it does when what it holds is kept. */
export const closed = (page, kind) => at(page, `sheet-${kind}`).waitFor({ state: 'detached' });
/** A real photo, made large by what may stand behind its end. */
export function large(name, bytes) {
  const file = join(folder(), name);
  writeFileSync(file, Buffer.concat([readFileSync(join(corpus, 'gen_orient_6.jpg')), Buffer.alloc(bytes, name)]));
  return file;
}
/** Nothing was complained about in the consoles of these pages. */
export const quiet = (...pages) =>
  same(
    pages.flatMap((p) => p.complaints),
    [],
    'console',
  );
