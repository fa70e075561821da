// A table of a logger: looked at before anything is kept, columns chosen and confirmed, doubtful
// dates asked, lines that cannot be read told by their number; also without a signal.
// Promise: "A table of a logger or a forecast is looked at first: you confirm what each column is, air or concrete, and in which unit; a date that may be read in two ways is asked, and a line that cannot be read is named."
import { join } from 'node:path';
import { check, desk, finish, must, open, out, same, until } from './stage.mjs';
import { at, h, isReady, logPour, origin, phoneOf, pour, quiet, site, SITE, T, visit } from './reed-bank.mjs';

const page = await phoneOf('Ada');
const id = await logPour(page, 16);
const file = (name, text) => ({ name, mimeType: 'text/csv', buffer: Buffer.isBuffer(text) ? text : Buffer.from(text) });
const give = (name, text) => at(page, 'hourly-input').setInputFiles(file(name, text));
const events = async () => (await site()).events;

await check('concrete in the first column is proposed as concrete, and nothing is kept yet', async () => {
  await visit(page, '/weather');
  const before = await events();
  await give(
    'probe.csv',
    'time,concrete temp,air temp\n2024-05-03 08:00,21.5,9.5\n2024-05-03 09:00,22.5,10.5\nlunch,8,8\n',
  );
  await at(page, 'tab-measure-1').waitFor();
  same(
    [await at(page, 'tab-measure-1').inputValue(), await at(page, 'tab-measure-2').inputValue()],
    ['middle', 'air'],
    'proposal',
  );
  // In which concrete is asked.
  must(await at(page, 'tab-take').isDisabled(), 'nothing is taken without its pour');
  await at(page, 'tab-pour').selectOption(id);
  await at(page, 'tab-odd').waitFor();
  must(/line 4/i.test(await at(page, 'tab-odd').textContent()), 'the line');
  await page.screenshot({ path: join(out, 'table-phone.png') });
  same(await events(), before, 'nothing is kept');
  await at(page, 'tab-measure-1').selectOption('edge');
  await until('it can be taken', async () => !(await at(page, 'tab-take').isDisabled()));
  await at(page, 'tab-take').focus();
  await page.keyboard.press('Enter');
  await at(page, 'sheet-table').waitFor({ state: 'detached' });
  await until('air and concrete on the hub', async () => (await events()) === before + 2);
  const view = await pour(id);
  must(view.basis.air.includes('hourly'), JSON.stringify(view.basis));
  same(view.basis.concrete_readings, 3, 'the pour and two of the probe');
});

await check('a date that may be two is asked, and °F and mph are turned', async () => {
  const before = await events();
  await give('us.csv', 'when;T1;gust\n04/05/2024 1:00 PM;50;10\n05/05/2024 1:00 PM;52;10\n');
  await at(page, 'tab-asked').waitFor();
  must(await at(page, 'tab-take').isDisabled(), 'not before it is said');
  await at(page, 'tab-order').selectOption('dmy');
  await at(page, 'tab-measure-1').selectOption('air');
  await at(page, 'tab-unit-1').selectOption('f');
  await at(page, 'tab-measure-2').selectOption('wind');
  await at(page, 'tab-unit-2').selectOption('mph');
  await at(page, 'tab-summary').waitFor();
  must((await at(page, 'tab-summary').textContent()).includes('4 May'), await at(page, 'tab-summary').textContent());
  await until('it can be taken', async () => !(await at(page, 'tab-take').isDisabled()));
  await at(page, 'tab-take').click();
  await until('one entry more', async () => (await events()) === before + 1);
  const all = await h.ask(`/api/sites/${SITE}/events?after=0`);
  const { rows } = all.events.findLast((e) => e.kind === 'hourly').body;
  // 13:00 in Oslo in May is 11:00 UTC.
  same(
    [rows[0].at_ms, rows[0].air_c, rows[0].wind_kmh],
    [Date.parse('2024-05-04T11:00:00Z'), 10, 16.09344],
    'the first row',
  );
});

await check('what is no table is said in words, and the file is still where it was', async () => {
  await give('photo.csv', 'a picture, perhaps');
  await at(page, 'tab-trouble').waitFor();
  must(
    /time and a number/.test(await at(page, 'tab-trouble').textContent()),
    await at(page, 'tab-trouble').textContent(),
  );
  await at(page, 'sheet-close').click();
});

await check('without a signal a table in UTF-16 with a preamble is read and kept', async () => {
  const before = await events();
  await page.goto(`${origin}/site/${SITE}`);
  await isReady(page);
  await page.context().setOffline(true);
  await visit(page, '/weather');
  const text =
    'Logger X;\nSerial;7\n\nDatum;Zeit;Luft °C;Feuchte %\n04.05.2024;08:00;11,5;70\n04.05.2024;09:00;12,5;--\n';
  await give('logger.csv', Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(text, 'utf16le')]));
  await at(page, 'tab-order').selectOption('dmy');
  await at(page, 'tab-summary').waitFor();
  await at(page, 'tab-take').click();
  await at(page, 'sheet-table').waitFor({ state: 'detached' });
  await page.context().setOffline(false);
  await until('the hub has it', async () => (await events()) === before + 1);
});

await check('at a desk, too', async () => {
  const wide = await open(desk, new Date(T).toISOString());
  await wide.goto(h.url);
  await wide.goto(`${origin}/site/${SITE}/weather`);
  await wide
    .getByTestId('hourly-input')
    .setInputFiles(file('probe.csv', 'time,concrete temp,air temp\n2024-05-03 08:00,21.5,9.5\n'));
  await wide.getByTestId('tab-measure-1').waitFor();
  await wide.screenshot({ path: join(out, 'table-desk.png') });
  const across = await wide.evaluate(() => document.documentElement.scrollWidth <= innerWidth);
  must(across, 'no scrolling sideways');
  await wide.context().close();
});

await check('nothing complained in the page', () => quiet(page));
await finish();
