// Adding a phone, end to end: a desktop on the loopback address and a phone over TLS that
// trusts the hub's own authority and nothing else. The phone is let in, logs, is made to only
// read, and is taken off the list with one tap; one that does not trust the certificate gets
// nowhere, and guests only read.
// Promise: "(or `slowstone hub --lan`) opens it to your own network, over TLS"
// Promise: "**Add a phone** then shows two codes to scan"
// Promise: "Both screens show six digits; when they are the same, say so and choose what the phone may do"
// Promise: "*Take off* ends it at once."
// Promise: "*Phones* also says whose each one is: what it enters under another name is shown as entered for that person."
import { join } from 'node:path';
import { check, desk, finish, hub, must, open, out, phone, same, trusting, until } from './stage.mjs';

const h = await hub({ more: ['--lan', '127.0.0.1:0'] });
const screen = await open(desk);
const hubAt = (id) => screen.getByTestId(id);
const ca = join(h.data, 'trust/ca.pem');
const mobile = await trusting(ca);
const at = (id) => mobile.getByTestId(id);
const picture = (page, name) =>
  process.env.SLOWSTONE_SHOTS ? page.screenshot({ path: join(out, `${name}.png`), fullPage: false }) : undefined;
let base = '';

async function offered() {
  await hubAt('share-add').click();
  return hubAt('pair-qr').getAttribute('data-url');
}

await check('the switch is there, and adding a phone shows what to scan', async () => {
  await screen.goto(h.url);
  await hubAt('new-site').click();
  await hubAt('in-name').fill('Reed bank');
  await hubAt('in-tz').fill('Europe/Oslo');
  await hubAt('save-site').click();
  await hubAt('name-input').fill('Ada');
  await hubAt('name-save').click();
  await hubAt('start').waitFor();
  await hubAt('start-go').click();
  await hubAt('step-card').first().waitFor();
  await screen.goto(`${h.origin}/settings/share`);
  same(await hubAt('lan-on').isChecked(), true, 'switched on');
  await picture(screen, 'share-desk');
  const url = await offered();
  base = new URL(url).origin;
  must(/^https:\/\/127\.0\.0\.1:\d+\/pair#[0-9a-z]{26}\.[\w-]{43}$/.test(url), url);
  await hubAt('phone-steps').locator('summary').click();
  const print = (await h.ask('/api/lan')).fingerprint;
  same(await hubAt('fingerprint').textContent(), print, 'fingerprint');
  await picture(screen, 'add-phone-desk');
  for (const k of ['android', 'ios']) {
    await hubAt(`steps-${k}`).click();
    await picture(screen, `add-phone-${k}`);
  }
  // The page that gives the certificate out, without TLS.
  const page = await hubAt('add-phone').locator('.address').textContent();
  const said = await fetch(page);
  must((await said.text()).includes(print), 'the fingerprint is not on the page');
  await mobile.goto(page);
  await picture(mobile, 'certificate-page');
});

await check('a phone that does not trust the certificate is not added', async () => {
  const stranger = await trusting(null, { ...phone, ignoreHTTPSErrors: true });
  const url = await hubAt('pair-qr').getAttribute('data-url');
  // As if somebody had gone on past the warning.
  await stranger.goto(url);
  await until('the warning', async () => (await stranger.getByTestId('pair').getAttribute('data-at')) === 'untrusted');
  await picture(stranger, 'pair-untrusted');
  same((await h.ask('/api/pairing')).stage, 'open', 'nobody has asked');
});

await check('both screens show the same code, and the keeper lets the phone in', async () => {
  const url = await hubAt('pair-qr').getAttribute('data-url');
  await mobile.goto(url);
  await at('pair-name').fill('Tuva’s phone');
  must(!(await mobile.evaluate(() => location.href)).includes('#'), 'the secret stays in the address');
  await picture(mobile, 'pair-name');
  await at('pair-ask').click();
  const theirs = await at('pair-code').textContent();
  await hubAt('hub-code').waitFor();
  same(await hubAt('hub-code').textContent(), theirs, 'codes');
  await picture(mobile, 'pair-code');
  await picture(screen, 'hub-code');
  await hubAt('role-helper').check();
  await hubAt('codes-same').click();
  await at('pair-open').waitFor();
  await picture(mobile, 'pair-in');
  await hubAt('add-done').click();
  await until('the list', async () => (await hubAt('device').count()) === 2);
  await picture(screen, 'share-devices');
});

await check('the phone logs a pour', async () => {
  await at('pair-open').click();
  await at('site-link').click();
  await at('log-pour').click();
  await at('in-air_c').fill('14');
  await at('in-concrete_c').fill('16');
  await at('save-pour').click();
  await at('name-input').fill('Tuva');
  await at('name-save').press('Enter');
  await at('pour-screen').waitFor();
  const [site] = await h.ask('/api/sites');
  const view = await h.ask(`/api/sites/${site.id}`);
  same(view.steps.filter((s) => s.pour).length, 1, 'pours on the hub');
  const me = await mobile.evaluate(() => fetch('/api/me').then((a) => a.json()));
  same([me.name, me.role, me.via], ['Tuva’s phone', 'helper', 'lan'], 'who');
  // Settings of the hub are not its business.
  await mobile.goto(`${base}/settings/share`);
  await at('my-role').waitFor();
  same(await mobile.evaluate(() => fetch('/api/devices').then((a) => a.status)), 403, 'the list of devices');
});

await check('the keeper says whose phone it is, and what it enters under another name says so', async () => {
  const [site] = await h.ask('/api/sites');
  const row = screen.locator('[data-testid="device"][data-name="Tuva’s phone"]');
  await screen.goto(`${h.origin}/settings/share`);
  const field = row.getByTestId('device-person');
  await until('the name that it first entered under', async () => (await field.inputValue()) === 'Tuva');
  // A name that was emptied stays.
  await field.fill(' ');
  await field.press('Enter');
  await until('the name again', async () => (await field.inputValue()) === 'Tuva');
  await field.fill('Bram');
  await field.press('Enter');
  await until('the hub', async () => (await h.ask('/api/devices')).some((d) => d.person === 'Bram'));
  await screen.getByText('belongs to Bram now').waitFor();
  await screen.screenshot({ path: join(out, 'share-person-desk.png') });
  const pours = (await h.ask(`/api/sites/${site.id}`)).steps.map((s) => s.pour).filter(Boolean);
  await mobile.goto(`${base}/site/${site.id}/pour/${pours[0].id}`);
  await at('bar-happened').click();
  await at('obs-rain').click();
  await at('obs-log').click();
  const said = await until('who entered it', async () => {
    const view = await h.ask(`/api/sites/${site.id}/pours/${pours[0].id}`);
    return view.observations.find((o) => o.entered_by);
  });
  same([said.by, said.entered_by], ['Tuva', 'Bram'], 'who');
  await mobile.getByText('Tuva (entered by Bram)').first().waitFor();
});

await check('somebody who only reads is offered nothing else', async () => {
  const row = screen.locator('[data-testid="device"][data-name="Tuva’s phone"]');
  await row.getByTestId('device-role').selectOption('viewer');
  await until('the role', async () => (await h.ask('/api/devices')).some((d) => d.role === 'viewer'));
  const [site] = await h.ask('/api/sites');
  const view = await h.ask(`/api/sites/${site.id}`);
  const pour = view.steps.find((s) => s.pour).pour.id;
  await mobile.goto(base);
  await until('the role on the phone', () => mobile.evaluate(() => document.documentElement.dataset.role === 'viewer'));
  for (const path of [
    '/',
    `/site/${site.id}`,
    `/site/${site.id}/pour/${pour}`,
    `/site/${site.id}/setup`,
    `/site/${site.id}/photos`,
    `/site/${site.id}/weather`,
    `/site/${site.id}/plan`,
    `/site/${site.id}/plan/buy`,
    `/site/${site.id}/plan/check`,
    `/site/${site.id}/plan/days`,
    `/site/${site.id}/colour`,
    `/site/${site.id}/colour/measure`,
    `/site/${site.id}/log`,
  ]) {
    await mobile.goto(base + path);
    await mobile.locator('main h1, main h2, main .warn').first().waitFor();
    await mobile.waitForFunction(() => !document.querySelector('[data-testid="loading"], .loading'));
    const offered = await mobile.evaluate(() =>
      [...document.querySelectorAll('button, a, input, label')]
        .filter(
          (e) =>
            e.getClientRects().length > 0 &&
            /^(new-site|first-pour|log-|add-|obs-|save-|edit-(layout|rules|materials|doses|crew)|try-|start|bar-(reading|photo|happened)|photo-(camera|file|move)|happened-|board-(now|add|take|file|shift)|place-|due-(done|later)|more-steps|lay-out|check-(change|log)|hourly|mark-go|forecast)/.test(
              e.dataset.testid ?? '',
            ),
        )
        .filter((e) => getComputedStyle(e).pointerEvents !== 'none')
        .map((e) => e.dataset.testid),
    );
    same(offered, [], path);
    if (path.endsWith(pour)) await picture(mobile, 'viewer-pour');
  }
});

await check('taken off the list, the phone is told so at once', async () => {
  await mobile.goto(base);
  await at('site-link').waitFor();
  await screen.locator('[data-testid="device"][data-name="Tuva’s phone"]').getByTestId('revoke').click();
  // One tap, and no question in between.
  await at('locked').waitFor();
  must((await at('locked').textContent()).includes('no longer'), await at('locked').textContent());
  await picture(mobile, 'revoked');
  same(await mobile.evaluate(() => fetch('/api/sites').then((a) => a.status)), 401, 'status');
  same((await h.ask('/api/devices')).length, 1, 'devices');
});

await check('guests are told on every screen, and keep nothing', async () => {
  await screen.goto(`${h.origin}/settings/share`);
  await screen.locator('summary').click();
  await hubAt('guest-on').check();
  const address = await hubAt('guest-address').textContent();
  await hubAt('guests').waitFor();
  const guest = await open(phone);
  await guest.goto(address);
  await guest.getByTestId('site-link').click();
  await guest.getByTestId('step-card').first().waitFor();
  must((await guest.getByTestId('guests').textContent()).includes('guest'), 'it is not said');
  await picture(guest, 'guest');
  same(await guest.getByTestId('log-pour').isVisible(), false, 'logging');
  const kept = await guest.evaluate(async () => [
    (await navigator.serviceWorker?.getRegistrations())?.length ?? 0,
    (await caches.keys()).length,
  ]);
  same(kept, [0, 0], 'kept');
  await hubAt('guest-on').uncheck();
  await until('the door is closed', () =>
    fetch(address).then(
      () => false,
      () => true,
    ),
  );
});

await check('nothing complained, nothing sticks out at 390 px, targets are 48 px', async () => {
  same([...screen.complaints], [], 'complaints');
  const narrow = await open(phone);
  await narrow.goto(h.url);
  await narrow.goto(`${h.origin}/settings/share`);
  await narrow.getByTestId('share-add').waitFor();
  const wide = await narrow.evaluate(() => document.documentElement.scrollWidth);
  must(wide <= 390, `${wide} px wide`);
  const small = () =>
    narrow.evaluate(() =>
      [
        ...document.querySelectorAll(
          'main :is(.btn, summary, label.check), dialog :is(.btn, summary, label.check, select)',
        ),
      ]
        .filter((e) => e.getClientRects().length > 0 && e.getBoundingClientRect().height < 47.5)
        .map((e) => e.textContent.trim().slice(0, 30)),
    );
  same(await small(), [], 'small targets');
  await picture(narrow, 'share-phone');
  await narrow.getByTestId('share-add').click();
  await narrow.getByTestId('pair-qr').waitFor();
  same(await small(), [], 'small targets of the sheet');
  await picture(narrow, 'add-phone-phone');
});

await finish();
