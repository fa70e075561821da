// What a phone keeps, it keeps: a clock that is ten years ahead loses nothing, the page asks
// the browser not to clear its storage, and what is thrown away all the same is said.
// Promise: "then the browser will hardly throw away what it keeps"
import { check, finish, must, same, until } from './stage.mjs';
import { at, banner, isReady, logReading, noBanner, origin, phoneOf, quiet, SITE, site } from './reed-bank.mjs';

const b = await phoneOf('Ben');

await check('the app can be put on the home screen', async () => {
  const manifest = await b.evaluate(async () => {
    const link = document.querySelector('link[rel="manifest"]');
    return (await fetch(link.href)).json();
  });
  same(
    [manifest.display, manifest.start_url],
    ['standalone', '/'],
    'what an installed app needs (W3C Web Application Manifest)',
  );
  must(
    manifest.icons.some((i) => i.sizes === '512x512'),
    'no icon of 512 px',
  );
});

await check('a phone whose clock is ten years ahead loses nothing', async () => {
  const c = await phoneOf('Cem', '2034-05-03T05:00:00Z');
  await isReady(c);
  await at(c, 'skew').waitFor();
  // It goes by the hub's clock, also without it: nothing may be done earlier for that.
  const phases = (page) =>
    page.locator('[data-testid="step-card"]').evaluateAll((all) => all.map((card) => card.dataset.phase));
  await c.goto(`${origin}/site/${SITE}`);
  await at(c, 'step-card').first().waitFor();
  await c.context().setOffline(true);
  await c.reload();
  await at(c, 'step-card').first().waitFor();
  same(await phases(c), await phases(b), 'phases on a phone ten years ahead');
  await logReading(c, 11);
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

await check('nothing complained in the page', () => quiet(b));
await finish();
