// What is due reaches another program, signed, and a calendar that subscribes to a private
// address; what was told and what could not be delivered stands below the settings. Mail and
// push are held by hub/tests/reminding.rs.
// Promise: "to another program (a signed webhook) or to your calendar, which subscribes to a private address"
// Promise: "What was told, and what could not be delivered and why, stands below the settings."
import { createServer } from 'node:http';
import { check, finish, must, same, until } from './stage.mjs';
import { at, back, h, letIn, logPour, opens, origin, phoneOf, quiet } from './reed-bank.mjs';

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

const page = await phoneOf('Ada');
const id = await logPour(page, 16);
const { late } = await opens(id, 'form_off');

await check('what is typed stays while the signal comes and goes', async () => {
  await page.goto(`${origin}/settings/remind`);
  await page.getByTestId('quiet-from').fill('19:15');
  await page.context().setOffline(true);
  await page.getByTestId('offline').waitFor();
  await page.context().setOffline(false);
  await page.getByTestId('offline').waitFor({ state: 'detached' });
  await page.waitForLoadState('networkidle');
  same(await page.getByTestId('quiet-from').inputValue(), '19:15', 'what was typed');
});

await check('reminders are chosen and a test is sent', async () => {
  await page.goto(`${origin}/settings/remind`);
  await page.getByTestId('hook-url').fill(hook);
  await page.getByTestId('quiet-from').fill('23:30');
  await page.getByTestId('remind-save').click();
  await page.getByTestId('hook-key').waitFor();
  const { settings } = await h.ask('/api/settings/reminders');
  same([settings.webhook_url, settings.rules.quiet_min[0]], [hook, 23 * 60 + 30], 'what was chosen');
  await page.getByTestId('remind-test').click();
  await page.getByTestId('test-results').waitFor();
  must((await page.getByTestId('test-results').textContent()).includes('sent'), 'the test was sent');
  must(
    heard.some((x) => x.headers['slowstone-signature']?.startsWith('v1=')),
    'the webhook heard it, signed',
  );
});

let address;
await check('the calendar has an address that is shown once', async () => {
  await page.getByTestId('feed-new').click();
  address = await page.getByTestId('feed').textContent();
  const text = await (await fetch(address)).text();
  must(text.startsWith('BEGIN:VCALENDAR'), text.slice(0, 80));
  await page.getByTestId('feed-end').waitFor();
});

await check('a subscription shows when the form is safe to come off', async () => {
  const text = (await (await fetch(address)).text()).replace(/\r\n[ \t]/g, '');
  const events = text.split('BEGIN:VEVENT').slice(1);
  const form = events.find((e) => /SUMMARY:.*form/i.test(e));
  must(form, `no form among ${text.match(/SUMMARY:.*/g)}`);
  // RFC 5545, 3.3.5: a date with UTC time.
  const [, y, m, d, hh, mm, ss] = /DTSTART:(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z/.exec(form) ?? [];
  const off = Math.abs(Date.parse(`${y}-${m}-${d}T${hh}:${mm}:${ss}Z`) - late);
  must(off <= 60_000, `${form.match(/DTSTART.*/)} instead of ${new Date(late).toISOString()}`);
});

await check('when the form is due the program hears of it, signed, though no page is open', async () => {
  await page.goto('about:blank');
  heard.length = 0;
  await h.stop();
  // At noon by the site's clock, when nobody sleeps.
  const noon = new Date(late + 86_400_000);
  noon.setUTCHours(10, 0, 0, 0);
  await back({ clock: noon.toISOString() });
  await until('the message', () => heard.some((x) => JSON.stringify(x.body).includes('form_off')), 30);
  must(
    heard.every((x) => x.headers['slowstone-signature']?.startsWith('v1=')),
    'signature',
  );
});

await check('what was told stands below the settings', async () => {
  await letIn(page);
  await page.goto(`${origin}/settings/remind`);
  await page.getByTestId('journal').locator('.told').first().waitFor();
  must(/form/i.test(await page.getByTestId('journal').textContent()), await page.getByTestId('journal').textContent());
});

await check('what cannot be delivered is said with its reason', async () => {
  receiver.closeAllConnections();
  receiver.close();
  await page.getByTestId('remind-test').click();
  await until('the failure', async () => (await page.getByTestId('test-results').locator('.warn').count()) > 0);
  must((await page.getByTestId('test-results').textContent()).length > 20, 'no reason');
});

await check('an address that was ended answers nobody', async () => {
  // By key: a tap right after the one that made it would be taken for its echo.
  await page.getByTestId('feed-end').press('Enter');
  await until('it is gone', async () => (await fetch(address)).status === 404);
});

await check('nothing complained in the page', () => quiet(page));
await finish();
