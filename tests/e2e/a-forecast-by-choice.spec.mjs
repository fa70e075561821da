// The forecast is fetched only when somebody named an address for it: it says what it sends,
// is off at first, and then brings hours of weather that the pages use.
// Promise: "*Settings, Forecast* fetches hourly weather if you name an address for it; without that, typed values are used."
import { createServer } from 'node:http';
import { check, finish, must, same, until } from './stage.mjs';
import { logPour, MORNING, origin, phoneOf, pour, quiet, visit } from './reed-bank.mjs';

const page = await phoneOf('Ada');
const id = await logPour(page, 16);
const asked = [];
// Answers as an open weather service does (hub/src/forecast.rs names the form).
const service = createServer((question, answer) => {
  asked.push(question.url);
  const from = Date.parse(MORNING) - 5 * 3_600_000;
  const time = Array.from({ length: 72 }, (_, n) => new Date(from + n * 3_600_000).toISOString().slice(0, 16));
  const all = (value) => time.map(() => value);
  answer.writeHead(200, { 'content-type': 'application/json' });
  answer.end(
    JSON.stringify({
      hourly: { time, temperature_2m: all(23), relative_humidity_2m: all(60), wind_speed_10m: all(8) },
    }),
  );
});
await new Promise((done) => service.listen(0, '127.0.0.1', done));

await check('the forecast is off and says what is sent', async () => {
  await page.goto(`${origin}/settings/weather`);
  must(!(await page.getByTestId('weather-on').isChecked()), 'off at first');
  await page.getByTestId('weather-address').fill('https://example.org/');
  await page.getByTestId('weather-on').check();
  await page.getByTestId('weather-save').click();
  await page.getByText('needs {lat} and {lon}').waitFor();
  must(await page.getByTestId('weather-fetch').isDisabled(), 'nothing is fetched while it is not on');
});

await check('an address that is named is asked, and its hours are used', async () => {
  const before = (await pour(id)).milestones.find((m) => m.kind === 'form_off').opens.likely;
  await page.getByTestId('weather-address').fill(`http://127.0.0.1:${service.address().port}/?lat={lat}&lon={lon}`);
  await page.getByTestId('lat').fill('59.9');
  await page.getByTestId('lon').fill('10.7');
  await page.getByTestId('weather-save').click();
  await until('it is on', async () => !(await page.getByTestId('weather-fetch').isDisabled()));
  await page.getByTestId('weather-fetch').click();
  await until('it was asked', () => asked.length > 0);
  // To two digits, about a kilometre: enough for the weather.
  same(asked[0], '/?lat=59.90&lon=10.70', 'what is sent');
  await until(
    'other times',
    async () => (await pour(id)).milestones.find((m) => m.kind === 'form_off').opens.likely !== before,
  );
  await visit(page, `/pour/${id}`);
  must(/forecast/i.test(await page.getByTestId('basis').textContent()), await page.getByTestId('basis').textContent());
});

await check('nothing complained in the page', () => quiet(page));
service.close();
await finish();
