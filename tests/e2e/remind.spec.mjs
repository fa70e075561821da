// Reminders on a phone: choosing them, a test that reaches a webhook, a calendar address, the
// forecast that stays off, and a pushed notification whose handler shows it.
import { createServer } from 'node:http';
import { check, finish, hub, must, open, phone, same, until } from './stage.mjs';

const heard = [];
const receiver = createServer((asked, answer) => {
  let body = '';
  asked.on('data', (bytes) => (body += bytes));
  asked.on('end', () => {
    heard.push({ headers: asked.headers, body: JSON.parse(body) });
    answer.writeHead(204).end();
  });
});
await new Promise((done) => receiver.listen(0, '127.0.0.1', done));
const hook = `http://127.0.0.1:${receiver.address().port}/bell`;

const h = await hub({ clock: '2026-10-03T10:00:00Z', empty: false });
const page = await open(phone);
await page.goto(h.url);

await check('reminders are chosen and a test is sent', async () => {
  await page.goto(`${h.origin}/settings/remind`);
  await page.getByTestId('hook-url').fill(hook);
  await page.getByTestId('quiet-from').fill('21:30');
  await page.getByTestId('remind-save').click();
  await page.getByTestId('hook-key').waitFor();
  const { settings } = await h.ask('/api/settings/reminders');
  same([settings.webhook_url, settings.rules.quiet_min[0]], [hook, 21 * 60 + 30], 'what was chosen');
  await page.getByTestId('remind-test').click();
  await page.getByTestId('test-results').waitFor();
  must((await page.getByTestId('test-results').textContent()).includes('sent'), 'the test was sent');
  must(heard.some((x) => x.headers['slowstone-signature']?.startsWith('v1=')), 'the webhook heard it, signed');
});

await check('the calendar has an address that is shown once', async () => {
  await page.getByTestId('feed-new').click();
  const address = await page.getByTestId('feed').textContent();
  const text = await (await fetch(address)).text();
  must(text.startsWith('BEGIN:VCALENDAR'), text.slice(0, 80));
  await page.getByTestId('feed-end').waitFor();
});

await check('the forecast is off and says what is sent', async () => {
  await page.goto(`${h.origin}/settings/weather`);
  must(!(await page.getByTestId('weather-on').isChecked()), 'off at first');
  await page.getByTestId('weather-address').fill('https://example.org/');
  await page.getByTestId('weather-on').check();
  await page.getByTestId('weather-save').click();
  await page.getByText('needs {lat} and {lon}').waitFor();
  must(await page.getByTestId('weather-fetch').isDisabled(), 'nothing is fetched while it is not on');
});

await check('a pushed reminder is shown', async () => {
  await page.context().grantPermissions(['notifications'], { origin: h.origin });
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
  const devtools = await page.context().newCDPSession(page);
  const found = new Promise((done) => devtools.on('ServiceWorker.workerRegistrationUpdated', (e) => e.registrations[0] && done(e.registrations[0].registrationId)));
  await devtools.send('ServiceWorker.enable');
  const note = { id: 'm1', title: 'Landing: now due', body: 'Step 1: take the form off now', url: '/', site: 's', by: 'Jonas', marks: [{ pour: 'p', milestone: 'form_off' }], done: 'Done', snooze: 'Snooze 30 min' };
  await devtools.send('ServiceWorker.deliverPushMessage', { origin: h.origin, registrationId: await found, data: JSON.stringify(note) });
  const shown = await until('the notification', () =>
    page.evaluate(async () => {
      const all = await (await navigator.serviceWorker.ready).getNotifications();
      return all.length > 0 && all.map((n) => [n.title, n.body, n.tag, n.actions.map((a) => a.action)]);
    }),
  );
  same(shown[0], [note.title, note.body, 'm1', ['done', 'snooze']], 'the notification');
});

same(page.complaints.filter((c) => !c.includes('status of 4')), [], 'console');
receiver.close();
await finish();
