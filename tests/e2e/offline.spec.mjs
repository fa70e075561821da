// Two phones without a signal. Both work on: they open the app, log, correct, take photos
// and see full predictions while the hub is out of reach, killed, or started anew; when they
// meet again nothing is lost, and both screens are equal. In Chromium at 390 x 844, each
// phone a context of its own.
import { execFileSync } from 'node:child_process';
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { createServer, request } from 'node:http';
import { join } from 'node:path';
import { check, corpus, finish, folder, hub, must, open, phone, program, same, until } from './stage.mjs';

const MORNING = '2024-05-03T05:00:00Z';
const T = Date.parse(MORNING);
/** What the app sends at once (ui/src/lib/photos.ts). */
const PIECE = 1 << 19;
let h = await hub({ clock: MORNING });
const { data, origin } = h;
const port = Number(new URL(origin).port);
const SITE = 'site-e2e-0001';

/** Asks the hub that runs now. */
async function post(path, body) {
  const token = new URL(h.url).searchParams.get('t');
  const answer = await fetch(h.origin + path, { method: 'POST', body: JSON.stringify(body), headers: { authorization: `Bearer ${token}`, 'content-type': 'application/json' } });
  must(answer.ok, `${path}: ${answer.status} ${await answer.text()}`);
}
let n = 0;
const event = (kind, body, id = `${kind}-e2e-${String(++n).padStart(4, '0')}`) => ({ id, site: SITE, by: 'Ada', at_ms: T, kind, body });
await post('/api/events', {
  events: [
    event('site', { name: 'Reed bank', place: '', tz: 'Europe/Oslo', units: 'metric' }, SITE),
    event('flight', { name: 'Landing' }, 'flight-e2e-1'),
    ...[1, 2, 3].map((number) => event('step', { flight: 'flight-e2e-1', number, width_m: 1.2, depth_m: 0.4, rise_m: 0.16 }, `step-e2e-${number}`)),
    event('mix', { name: 'Bag', bag_kg: 25, yield_l: 12, water_min_l: 2.4, water_max_l: 3, cement_pct: 14, class_mpa: 27.6, class_7d_mpa: 17.2 }),
  ],
});
const site = () => h.ask(`/api/sites/${SITE}`);
const pour = (id) => h.ask(`/api/sites/${SITE}/pours/${id}`);

/** A phone whose owner is known, let in by the hub that runs now. */
async function phoneOf(name, time = MORNING) {
  const page = await open(phone, time);
  await page.context().addInitScript((who) => localStorage.setItem('slowstone.person', who), name);
  await page.goto(h.url);
  await page.goto(`${origin}/site/${SITE}`);
  await page.getByTestId('site-screen').waitFor();
  return page;
}
/** Runs a command of the program. */
const run = (...args) => execFileSync(program, args, { stdio: 'pipe' });
/** Lets a browser in after the hub was started anew, as its printed address does. */
const letIn = (page) => page.request.get(h.url);
/** All rows that a phone keeps of one kind. */
const rows = (page, area) =>
  page.evaluate(
    (name) =>
      new Promise((done, fail) => {
        const request = indexedDB.open('slowstone');
        request.onerror = () => fail(request.error);
        request.onsuccess = () => {
          const all = request.result.transaction(name).objectStore(name).getAll();
          all.onsuccess = () => {
            request.result.close();
            done(all.result.map((row) => ({ ...row, bytes: undefined })));
          };
        };
      }),
    area,
  );
/** The phone has the app, the core and the whole log of the site. */
async function isReady(page) {
  await until('the app on the phone', () =>
    page.evaluate(async () => {
      const there = await navigator.serviceWorker.getRegistration();
      const stores = await caches.keys();
      return Boolean(there?.active) && stores.length === 1 && (await (await caches.open(stores[0])).keys()).some((r) => r.url.includes('/core.wasm'));
    }),
  );
  await until('the log on the phone', async () => {
    const kept = await rows(page, 'meta');
    if (kept.some((r) => r.id === `site:${SITE}` && r.whole)) return true;
    throw new Error(JSON.stringify(kept));
  });
}
const at = (page, id) => page.getByTestId(id);
const banner = (page, entries, photos) => page.locator(`[data-testid="offline"][data-entries="${entries}"][data-photos="${photos}"]`).waitFor();
const noBanner = (page) => at(page, 'offline').waitFor({ state: 'detached' });
const cards = (page) => page.locator('[data-testid="step-card"]').evaluateAll((all) => all.map((c) => c.innerText.replace(/\s+/g, ' ')));
/** The time line without what moves with the clock. */
const line = (page) =>
  page.locator('[data-testid^="milestone-"]').evaluateAll((all) =>
    all.map((li) => {
      const copy = li.cloneNode(true);
      for (const moving of copy.querySelectorAll('.rel, .state')) moving.remove();
      return `${li.dataset.testid} ${copy.textContent.replace(/\([^)]*\)/g, '').replace(/\s+/g, ' ')}`;
    }),
  );
async function logPour(page, air) {
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
async function correctAir(page, id, air) {
  await page.goto(`${origin}/site/${SITE}/pour/${id}`);
  await at(page, 'edit-pour').click();
  // What was seen goes with the correction.
  await at(page, 'history').waitFor();
  await at(page, 'in-air_c').fill(String(air));
  await at(page, 'save-pour').click();
  await at(page, 'sheet-pour').waitFor({ state: 'detached' });
}
/** A real photo, made large by what may stand behind its end. */
function large(name, bytes) {
  const file = join(folder(), name);
  writeFileSync(file, Buffer.concat([readFileSync(join(corpus, 'gen_orient_6.jpg')), Buffer.alloc(bytes, name)]));
  return file;
}

const a = await phoneOf('Ada');
const b = await phoneOf('Ben');
let first;
let told;

await check('a phone that was once near the hub keeps the app and the log', async () => {
  await isReady(a);
  await isReady(b);
  await at(a, 'bar-more').click();
  await a.locator('[data-testid="phone-offline"][data-ready="true"]').waitFor();
});

await check('without a signal the app opens and shows the same', async () => {
  await a.goto(`${origin}/site/${SITE}`);
  await at(a, 'step-card').first().waitFor();
  const before = await cards(a);
  await a.context().setOffline(true);
  await a.reload();
  await at(a, 'step-card').first().waitFor();
  await banner(a, 0, 0);
  same(await cards(a), before, 'the steps');
  await a.goto(origin);
  await at(a, 'site-link').first().waitFor();
  await at(a, 'site-link').first().click();
  await at(a, 'step-card').first().waitFor();
});

await check('a pour logged without a signal has its full prediction at once', async () => {
  first = await logPour(a, 14);
  same(await at(a, 'now-block').getAttribute('data-phase'), 'fresh', 'phase');
  for (const id of ['curve', 'not-yet', 'basis', 'now-marker']) must(await at(a, id).first().count(), `${id} is missing`);
  told = await line(a);
  same(told.length, 11, 'milestones');
  must(told.every((m) => /\d\d:\d\d|\d May|dry/.test(m)), `a milestone without a time: ${told}`);
  await banner(a, 2, 0);
  must((await at(a, 'waiting').textContent()).includes('2 entries'), 'the badge does not say how many');
  const view = await site();
  must(view.steps.every((s) => !s.pour), 'the hub knows of it already');
});

await check('what cannot be is said at once, also without a signal', async () => {
  await a.evaluate(() => localStorage.setItem('slowstone.units', ''));
  await at(a, 'bar-reading').click();
  await at(a, 'in-at_ms').fill('2034-05-03T05:00');
  await at(a, 'in-air_c').fill('9');
  await at(a, 'save-reading').click();
  // Ten years ahead is a fact about a clock, not an error: it is kept.
  await at(a, 'sheet-reading').waitFor({ state: 'detached' });
  await banner(a, 3, 0);
  await at(a, 'reading').last().click();
  await at(a, 'take-back').click();
  await at(a, 'sheet-reading').waitFor({ state: 'detached' });
  await banner(a, 4, 0);
});

await check('a photo taken without a signal stands on its pour, marked', async () => {
  await at(a, 'photo-input').setInputFiles([join(corpus, 'gen_orient_6.jpg'), large('big.jpg', 3 * PIECE)]);
  await at(a, 'photo-waiting').nth(1).waitFor();
  await until('the pictures', () => a.locator('[data-testid="photo-waiting"] img').evaluateAll((all) => all.length === 2 && all.every((i) => i.naturalWidth > 0)));
  await banner(a, 4, 2);
  // A closed browser loses nothing of it.
  await a.reload();
  await at(a, 'photo-waiting').nth(1).waitFor();
  await banner(a, 4, 2);
  same((await rows(a, 'photos')).length, 2, 'photos kept');
});

await check('a copy can be saved; the hub takes it in, and again without harm', async () => {
  const download = a.waitForEvent('download');
  await at(a, 'save-copy').click();
  const file = join(folder(), 'copy.jsonl');
  await (await download).saveAs(file);
  must(statSync(file).size > 4 * PIECE, 'the photos are not in it');
  const lines = readFileSync(file, 'utf8').trim().split('\n').map((l) => JSON.parse(l));
  same([lines[0].slowstone, lines.filter((l) => l.event).length, lines.filter((l) => l.photo).length, lines.at(-1).end], ['copy', 4, 2, { events: 4, photos: 2 }], 'what is in it');
  // Only the entries of the copy now: the photos are to go by themselves, below.
  writeFileSync(file, lines.filter((l) => !l.photo).map((l) => `${JSON.stringify(l)}\n`).join(''));
  await at(b, 'bar-more').click();
  for (let round = 0; round < 2; round++) {
    await at(b, 'copy-import').setInputFiles(file);
    await at(b, 'imported').waitFor();
    must((await at(b, 'imported').textContent()).includes('4 entries'), await at(b, 'imported').textContent());
  }
  same((await site()).steps.filter((s) => s.pour).length, 1, 'pours');
});

const offsets = [];
await check('the hub is killed while a photo is sent, and the rest follows when it is back', async () => {
  let cut = false;
  await a.context().route('**/api/uploads/**', async (route) => {
    const request = route.request();
    if (request.method() !== 'PUT') return route.continue();
    const offset = Number(new URL(request.url()).searchParams.get('offset'));
    offsets.push(offset);
    if (offset === PIECE && !cut) {
      cut = true;
      await h.stop('SIGKILL');
    }
    return route.continue().catch(() => undefined);
  });
  await a.context().setOffline(false);
  await until('the cut', () => cut);
  await at(a, 'offline').waitFor();
  await at(a, 'photo-waiting').first().waitFor();
  h = await hub({ clock: MORNING, data, port, empty: false });
  same(h.origin, origin, 'address');
  await letIn(a);
  await until('both photos', async () => (await pour(first)).photos.length === 2, 40);
  await noBanner(a);
  const again = offsets.lastIndexOf(PIECE);
  must(offsets.filter((o) => o === 0).length === 2, `a photo was begun again: ${offsets}`);
  must(again > offsets.indexOf(PIECE), `it did not go on at the cut: ${offsets}`);
  const big = (await pour(first)).photos.find((p) => p.fact.name === 'big.jpg');
  same(big.fact.bytes, readFileSync(join(corpus, 'gen_orient_6.jpg')).length + 3 * PIECE, 'bytes');
  await at(a, 'photo-thumb').nth(1).waitFor();
  same([(await rows(a, 'photos')).length, (await rows(a, 'outbox')).length], [0, 0], 'left on the phone');
});

await check('the hub says the same as the phone did', async () => {
  await a.reload();
  await at(a, 'milestone-form_off').waitFor();
  same(await line(a), told, 'the time line');
  same((await pour(first)).batches.length, 1, 'batches: nothing came twice');
});

await check('both phones show the same again', async () => {
  await letIn(b);
  for (const page of [a, b]) await page.goto(`${origin}/site/${SITE}`);
  await until('equal screens', async () => JSON.stringify(await cards(a)) === JSON.stringify(await cards(b)) && (await cards(a)).length === 3);
});

await check('two corrections that did not see each other are both kept and shown to be settled', async () => {
  await isReady(b);
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
  await until('equal screens', async () => JSON.stringify(await cards(a)) === JSON.stringify(await cards(b)));
  await at(b, 'conflict-notice').locator('a').click();
  const offered = at(b, 'conflicts').locator('button');
  await offered.first().waitFor();
  same((await offered.allTextContents()).map((x) => x.split(' ')[0]).sort(), ['21', '8'], 'both values');
  await offered.filter({ hasText: /^8 / }).click();
  await until('it is settled', async () => (await site()).conflicts.length === 0 && (await pour(first)).pour.fact.air_c === 8);
  await at(a, 'conflict-notice').waitFor({ state: 'detached' });
});

await check('the hub is gone: the app opens, what is logged is sent when it is back', async () => {
  await h.stop('SIGKILL');
  await a.goto(`${origin}/site/${SITE}/pour/${first}`);
  await at(a, 'pour-screen').waitFor();
  await at(a, 'obs-sheen_gone').click();
  await at(a, 'observation').first().waitFor();
  await banner(a, 1, 0);
  await b.goto(`${origin}/site/${SITE}`);
  const second = await logPour(b, 12);
  h = await hub({ clock: MORNING, data, port, empty: false });
  await letIn(a);
  await letIn(b);
  // By itself: nobody touches a button.
  await noBanner(a);
  await noBanner(b);
  await until('what both logged', async () => (await pour(first)).observations.length === 1 && (await pour(second)).batches.length === 1);
  for (const page of [a, b]) await page.goto(`${origin}/site/${SITE}`);
  await until('equal screens', async () => JSON.stringify(await cards(a)) === JSON.stringify(await cards(b)) && (await site()).steps.filter((s) => s.pour).length === 2);
});

await check('a phone whose clock is ten years ahead loses nothing', async () => {
  const c = await phoneOf('Cem', '2034-05-03T05:00:00Z');
  await isReady(c);
  await at(c, 'skew').waitFor();
  // It goes by the hub's clock, also without it: nothing may be done earlier for that.
  const phases = (page) => page.locator('[data-testid="step-card"]').evaluateAll((all) => all.map((card) => card.dataset.phase));
  await c.goto(`${origin}/site/${SITE}`);
  await at(c, 'step-card').first().waitFor();
  await c.context().setOffline(true);
  await c.reload();
  await at(c, 'step-card').first().waitFor();
  same(await phases(c), await phases(b), 'phases on a phone ten years ahead');
  await at(c, 'bar-reading').click();
  await at(c, 'in-air_c').fill('11');
  await at(c, 'save-reading').click();
  await at(c, 'sheet-reading').waitFor({ state: 'detached' });
  await banner(c, 1, 0);
  await c.context().setOffline(false);
  await noBanner(c);
  await until('the reading', async () => (await site()).weather.some((r) => r.by === 'Cem'));
  same(c.complaints, [], 'console');
  await c.context().close();
});

await check('what the browser throws away is noticed and said', async () => {
  const d = await phoneOf('Dan');
  await isReady(d);
  await d.context().setOffline(true);
  await at(d, 'bar-reading').click();
  await at(d, 'in-air_c').fill('11');
  await at(d, 'save-reading').click();
  await banner(d, 1, 0);
  // As a browser does when space runs short.
  await d.evaluate(
    () =>
      new Promise((done) => {
        const request = indexedDB.open('slowstone');
        request.onsuccess = () => {
          const db = request.result;
          const work = db.transaction([...db.objectStoreNames], 'readwrite');
          for (const name of db.objectStoreNames) work.objectStore(name).clear();
          work.oncomplete = () => {
            db.close();
            done();
          };
        };
      }),
  );
  await d.reload();
  await at(d, 'lost').waitFor();
  must((await at(d, 'lost').textContent()).includes('1 entry'), await at(d, 'lost').textContent());
  await at(d, 'lost').locator('button').click();
  await at(d, 'lost').waitFor({ state: 'detached' });
  await d.reload();
  await at(d, 'offline').waitFor();
  same(await at(d, 'lost').count(), 0, 'said twice');
  await d.context().close();
});

await check('a new version is offered, and used when the person says so', async () => {
  // The browser fetches the service worker by itself, out of the test's reach: something
  // between it and the hub says of one file that it is another.
  let newer = false;
  const between = createServer((asked, answer) => {
    const headers = { ...asked.headers, host: new URL(origin).host };
    if (headers.origin) headers.origin = origin;
    // Or the answer might be: not changed.
    delete headers['if-none-match'];
    delete headers['accept-encoding'];
    const on = request(origin + asked.url, { method: asked.method, headers }, (told) => {
      if (!newer || asked.url !== '/sw.js') {
        answer.writeHead(told.statusCode, told.headers);
        answer.flushHeaders();
        told.pipe(answer);
        return;
      }
      let text = '';
      told.on('data', (bytes) => (text += bytes));
      told.on('end', () => {
        answer.writeHead(200, { 'content-type': 'text/javascript' });
        answer.end(text.replace(/("\/icon\.svg","?)([^"]*")([0-9a-f]{4})/, '$1$2ffff'));
      });
    });
    on.on('error', () => answer.destroy());
    asked.pipe(on);
  });
  await new Promise((done) => between.listen(0, '127.0.0.1', done));
  const there = `http://127.0.0.1:${between.address().port}`;
  const e = await open(phone, MORNING);
  await e.goto(h.url.replace(origin, there));
  await e.goto(`${there}/site/${SITE}`);
  await isReady(e);
  await e.reload();
  const store = () => e.evaluate(async () => (await caches.keys()).sort());
  const [old] = await store();
  newer = true;
  await e.evaluate(() => navigator.serviceWorker.getRegistration().then((r) => r.update().then(() => undefined)));
  await at(e, 'new-version').waitFor();
  must((await store()).includes(old), 'the version in use was thrown away');
  await e.evaluate(() => (window.stillTheOldPage = true));
  await at(e, 'renew').click();
  await until('the new version', async () => !(await store()).includes(old));
  await until('a page anew', () => e.evaluate(() => window.stillTheOldPage !== true));
  await at(e, 'step-card').first().waitFor();
  same(await at(e, 'new-version').count(), 0, 'offered twice');
  await e.context().setOffline(true);
  await e.reload();
  await at(e, 'step-card').first().waitFor();
  await e.context().close();
  between.closeAllConnections();
  between.close();
});

await check('a hub that was set back to an old backup is refilled by the phones', async () => {
  const [backup, restored] = [join(folder(), 'backup'), join(folder(), 'restored')];
  run('backup', backup, '--data', data);
  await a.goto(`${origin}/site/${SITE}`);
  await at(a, 'bar-reading').click();
  await at(a, 'in-air_c').fill('6.5');
  await at(a, 'save-reading').click();
  await at(a, 'sheet-reading').waitFor({ state: 'detached' });
  const lost = (r) => r.fact.air_c === 6.5;
  await until('the reading', async () => (await site()).weather.some(lost));
  await until('the reading on the other phone', async () => (await rows(b, 'events')).some((r) => r.event.body.air_c === 6.5));
  await h.stop('SIGKILL');
  run('restore', backup, '--data', restored);
  h = await hub({ clock: MORNING, data: restored, port, empty: false });
  must(!(await site()).weather.some(lost), 'the backup has what came after it');
  await letIn(a);
  await until('the reading is back', async () => (await site()).weather.some(lost), 60);
  same((await site()).weather.filter(lost).length, 1, 'times that it is there');
  await letIn(b);
  for (const page of [a, b]) await page.goto(`${origin}/site/${SITE}`);
  await until('the same on both', async () => (await rows(a, 'outbox')).length + (await rows(b, 'outbox')).length === 0);
  for (const page of [a, b]) await noBanner(page);
});

await check('nothing complained in the pages', () => same([...a.complaints, ...b.complaints], [], 'console'));
await finish();
