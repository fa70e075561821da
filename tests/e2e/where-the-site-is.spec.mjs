// The place of a site: offered where it is missing, in one tap by the phone's position, or a
// town from the list without a signal; the reason line says by what the sun is reckoned.
// Promise: "Say where the site is in one tap: by the position of the phone, or by a town from a list that works without a signal; until then the coordinates of its time zone serve, and *Why* says which."
import { join } from 'node:path';
import { check, finish, must, open, out, phone, same, until } from './stage.mjs';
import {
  at,
  h,
  isReady,
  logPour,
  MORNING,
  origin,
  phoneOf,
  pour,
  quiet,
  send,
  event,
  site,
  SITE,
  T,
  visit,
} from './reed-bank.mjs';

const page = await phoneOf('Ada');
const id = await logPour(page, 16);
const place = async () => (await pour(id)).basis.place;
const because = () => at(page, 'basis-place').textContent();

await check('until somebody says it, the time zone serves and is named', async () => {
  same(await place(), 'zone', 'basis');
  await at(page, 'basis-place').waitFor();
  must((await because()).includes('Europe/Oslo'), await because());
  await at(page, 'place-offer').waitFor();
  await page.screenshot({ path: join(out, 'place-offer-phone.png'), fullPage: true });
});

await check('one tap takes the position of the phone, to about a kilometre', async () => {
  await page.context().grantPermissions(['geolocation'], { origin });
  await page.context().setGeolocation({ latitude: 59.913868, longitude: 10.752245 });
  await at(page, 'place-ask').click();
  await page.screenshot({ path: join(out, 'place-sheet-phone.png') });
  await at(page, 'place-here').click();
  await until('the place on the hub', async () => (await site()).site.fact.located === 'position');
  const { lat, lon } = (await site()).site.fact;
  same([lat, lon], [59.91, 10.75], 'rounded');
  await until('the reason', async () => (await place()) === 'place');
  await at(page, 'place-offer').waitFor({ state: 'detached' });
  await until('the reason on the page', async () => /place of the site/i.test(await because()));
});

await check('a town is found in the form of the site, without its accents, by keyboard', async () => {
  await visit(page, '/setup');
  await at(page, 'edit-site').click();
  await at(page, 'place-town').fill('munchen');
  await at(page, 'place-result').first().waitFor();
  must((await at(page, 'place-result').first().textContent()).includes('Germany'), 'its country');
  await at(page, 'place-town').press('Tab');
  await page.keyboard.press('Enter');
  await page.screenshot({ path: join(out, 'place-form-phone.png') });
  await at(page, 'save-site').click();
  await until('the town', async () => (await site()).site.fact.located === 'town');
  const { lat, lon, place: name } = (await site()).site.fact;
  same([lat, lon, name], [48.1, 11.6, 'München'], 'Munich');
  same(await place(), 'town', 'basis');
});

await check('without a signal the list is there, and the place is kept until it can be sent', async () => {
  await page.goto(`${origin}/site/${SITE}`);
  await isReady(page);
  await page.context().setOffline(true);
  await visit(page, '/setup');
  await at(page, 'edit-site').click();
  await at(page, 'place-town').fill('trondh');
  await at(page, 'place-result').first().click();
  await at(page, 'save-site').click();
  await at(page, 'sheet-site').waitFor({ state: 'detached' });
  await visit(page, `/pour/${id}`);
  await until('the reason, reckoned on the phone', async () => /town/i.test(await because()));
  await page.context().setOffline(false);
  await until('the hub has it', async () => (await site()).site.fact.lat === 63.4);
});

await check('a position that is refused says what else there is, and nothing is lost', async () => {
  const other = await open(phone, MORNING);
  await other.goto(h.url);
  await other.getByTestId('new-site').click();
  await other.getByTestId('in-name').fill('Far away');
  await other.getByTestId('place-here').click();
  await other.getByTestId('place-said').waitFor();
  same(await other.getByTestId('in-name').inputValue(), 'Far away', 'what was typed');
  await other.getByTestId('place-town').fill('qqqqqq');
  await other.getByTestId('place-none').waitFor();
  await other.context().close();
});

await check('a zone that is no place says that nothing is known', async () => {
  const far = 'site-e2e-0009';
  const there = (kind, body, name) => ({ ...event(kind, body, name), site: far });
  await send('/api/events', {
    events: [
      there('site', { name: 'Somewhere', place: '', tz: 'Etc/UTC', units: 'metric' }, far),
      there('pour', { started_ms: T, air_c: 20, name: 'Slab' }, 'pour-far-001'),
    ],
  });
  await page.goto(`${origin}/site/${far}/pour/pour-far-001`);
  await at(page, 'basis-place').waitFor();
  must(/nothing is known/i.test(await because()), await because());
  must(/nothing is known/i.test(await at(page, 'place-offer').textContent()), 'the offer');
});

await check('nothing complained in the page', () => quiet(page));
await finish();
