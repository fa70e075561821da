// A push message becomes a notification with Done and Snooze, and pressing them is logged like
// anything else, also without a signal. The presses are real events of the service worker; the
// way from the hub to the browser's push service is held by hub/tests/reminding.rs.
// Promise: "**Done** and **Snooze** in the notification are logged like anything else."
import { check, finish, must, same, until } from './stage.mjs';
import {
  h,
  isReady,
  letIn,
  logPour,
  opens,
  origin,
  back,
  phoneOf,
  pour,
  quiet,
  rows,
  SITE,
  site,
} from './reed-bank.mjs';

const page = await phoneOf('Jonas');
const id = await logPour(page, 16);
const { late } = await opens(id, 'form_off');
await h.stop();
const now = late + 3_600_000;
await back({ clock: new Date(now).toISOString() });
await letIn(page);
await page.reload();
await isReady(page);
const due = async () => (await site()).due.some((d) => d.kind === 'form_off');

const note = (n) => ({
  id: n,
  title: 'Landing: now due',
  body: 'Step 1: take the form off now',
  url: `/site/${SITE}/pour/${id}`,
  site: SITE,
  by: 'Jonas',
  marks: [{ pour: id, milestone: 'form_off' }],
  done: 'Done',
  snooze: 'Snooze 30 min',
});
let deliver;
const shown = () =>
  page.evaluate(async () =>
    (await (await navigator.serviceWorker.ready).getNotifications()).map((n) => [
      n.title,
      n.body,
      n.tag,
      n.actions.map((x) => x.action),
    ]),
  );
/** Presses a notification, or one of its buttons, as the system tells the service worker. */
async function press(tag, action) {
  const worker = page.context().serviceWorkers()[0] ?? (await page.context().waitForEvent('serviceworker'));
  await worker.evaluate(
    async ([tag, action]) => {
      const [notification] = await self.registration.getNotifications({ tag });
      self.dispatchEvent(new NotificationEvent('notificationclick', { notification, action }));
    },
    [tag, action],
  );
}

await check('a pushed reminder is shown, with two buttons', async () => {
  must(await due(), 'the form is not due');
  await page.context().grantPermissions(['notifications'], { origin });
  const devtools = await page.context().newCDPSession(page);
  const found = new Promise((done) =>
    devtools.on(
      'ServiceWorker.workerRegistrationUpdated',
      (e) => e.registrations[0] && done(e.registrations[0].registrationId),
    ),
  );
  await devtools.send('ServiceWorker.enable');
  const registrationId = await found;
  deliver = (n) =>
    devtools.send('ServiceWorker.deliverPushMessage', { origin, registrationId, data: JSON.stringify(note(n)) });
  await deliver('m1');
  const all = await until('the notification', async () => ((await shown()).length > 0 ? shown() : null));
  same(all[0], ['Landing: now due', 'Step 1: take the form off now', 'm1', ['done', 'snooze']], 'the notification');
});

await check('the same message twice is shown once', async () => {
  await deliver('m1');
  await deliver('m0');
  await until('the other one', async () => (await shown()).some((n) => n[2] === 'm0'));
  same((await shown()).filter((n) => n[2] === 'm1').length, 1, 'm1');
});

await check('Snooze is logged, and it is due again later', async () => {
  await press('m1', 'snooze');
  await until('a mark in the log', async () =>
    (await h.ask(`/api/sites/${SITE}/events?after=0`)).events.some(
      (e) => (e.event ?? e).kind === 'mark' && (e.event ?? e).body.what === 'snoozed',
    ),
  );
  await until('not due', async () => !(await due()));
  same(
    (await shown()).some((n) => n[2] === 'm1'),
    false,
    'the notification is closed',
  );
});

await check('Done without a signal is kept on the phone and sent later', async () => {
  await page.context().setOffline(true);
  await press('m0', 'done');
  await until('it waits on the phone', async () =>
    (await rows(page, 'outbox')).some((r) => r.event.kind === 'mark' && r.event.body.what === 'done'),
  );
  await page.context().setOffline(false);
  await page.reload();
  const mark = await until('the mark in the log', async () => {
    const all = (await h.ask(`/api/sites/${SITE}/events?after=0`)).events.map((e) => e.event ?? e);
    return all.find((e) => e.kind === 'mark' && e.body.what === 'done');
  });
  same([mark.by, mark.body.pour, mark.body.milestone], ['Jonas', id, 'form_off'], 'who and what');
  must(!(await due()), 'still due');
});

await check('pressing the notification itself leads to the pour', async () => {
  await page.goto(`${origin}/settings`);
  await deliver('m2');
  await until('the notification', async () => (await shown()).some((n) => n[2] === 'm2'));
  await press('m2', '');
  await until('it is closed', async () => !(await shown()).some((n) => n[2] === 'm2'));
});

await check('nothing complained in the page', () => quiet(page));
await finish();
