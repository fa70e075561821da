// A new version of the app waits until the person says so.
// Promise: "A new version of the app is offered and waits until you press *Use it now*."
import { createServer, request } from 'node:http';
import { check, finish, must, open, phone, same, until } from './stage.mjs';
import { at, h, isReady, MORNING, origin, SITE } from './reed-bank.mjs';

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

await finish();
