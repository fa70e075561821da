// A night was warmer than typed: a reading at any later time, with the time at which it was
// taken, and everything is reckoned anew; taken back, all is as it was. The page says which
// temperatures were used.
// Promise: "A warmer night than typed? Log a reading at any later time; everything is reckoned anew."
// Promise: "Every page says which temperatures were used: your readings, a forecast by the hour or by the lowest and highest of each day, or the last days carried on."
import { check, finish, must, same, until } from './stage.mjs';
import { at, back, closed, h, letIn, logPour, opens, phoneOf, pour, quiet, visit } from './reed-bank.mjs';

const a = await phoneOf('Ada');
const id = await logPour(a, 6);
const off = async () => (await opens(id, 'form_off')).likely;
const basis = () => at(a, 'basis').textContent();

await check('a reading at any later time reckons everything anew', async () => {
  const before = await off();
  await visit(a, `/pour/${id}`);
  await at(a, 'bar-reading').click();
  await at(a, 'in-air_c').fill('1');
  await at(a, 'save-reading').click();
  await closed(a, 'reading');
  await until('a later form-off', async () => (await off()) > before);
  // It was the cellar's thermometer: taken back, everything is as it was.
  await visit(a, '/weather');
  await at(a, 'weather-entry').first().click();
  await at(a, 'take-back').press('Enter');
  await until('the form-off of before', async () => (await off()) === before);
});

await check('without a forecast the page says that the last days are carried on', async () => {
  await visit(a, `/pour/${id}`);
  must(/last days carried on/.test(await basis()) && !/lowest/.test(await basis()), await basis());
});

await check('a typed forecast is said as such', async () => {
  const before = await off();
  await visit(a, '/weather');
  await at(a, 'forecast-today').click();
  await at(a, 'in-min_c').fill('2');
  await at(a, 'in-max_c').fill('9');
  await at(a, 'save-forecast').click();
  await closed(a, 'forecast');
  await until('other times', async () => (await off()) !== before);
  await visit(a, `/pour/${id}`);
  must(/lowest and highest/.test(await basis()), await basis());
});

await check('the next morning a reading of the warm night is typed with its time', async () => {
  await h.stop();
  await back({ clock: '2024-05-04T06:00:00Z' });
  await letIn(a);
  const before = await off();
  await a.clock.setSystemTime(new Date('2024-05-04T06:00:00Z'));
  await visit(a, `/pour/${id}`);
  await at(a, 'pour-screen').waitFor();
  await at(a, 'add-reading').click();
  await at(a, 'in-at_ms').fill('2024-05-03T23:30');
  await at(a, 'in-air_c').fill('12');
  await at(a, 'save-reading').click();
  await closed(a, 'reading');
  await until('an earlier form-off', async () => (await off()) < before);
  const [reading] = (await pour(id)).readings;
  same(
    [reading.fact.at_ms, reading.fact.air_c],
    [Date.parse('2024-05-03T23:30:00+02:00'), 12],
    'by the clock of the site',
  );
  await until('the page says so', async () => /reading/.test(await basis()));
});

await check('nothing complained in the page', () => quiet(a));
await finish();
