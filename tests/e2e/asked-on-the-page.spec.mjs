// What the page of a pour asks: the air where only the concrete was read,
// and once about an entry that does not fit the others.
// Promise: "Where only the concrete was read, the page asks for the air and tells nothing past set until then."
// Promise: "An entry that does not fit the others or what can be is asked about once, right where it was logged, and weighs little until somebody says that it is right."
import { join } from 'node:path';
import { check, desk, finish, must, open, out, same, until } from './stage.mjs';
import { at, event, h, log, origin, phoneOf, pour, quiet, SITE, T, visit } from './reed-bank.mjs';

const page = await phoneOf('Ada');
const id = 'pour-e2e-asked';
const H = 3_600_000;
await log(event('pour', { step: 'step-e2e-1', mix: 'mix-e2e-1', started_ms: T - 2 * H, concrete_c: 22 }, id));
const milestone = async (kind) => (await pour(id)).milestones.find((m) => m.kind === kind);

await check('with the concrete alone nothing past set is told, and the air is asked for in the page', async () => {
  await visit(page, `/pour/${id}`);
  await at(page, 'ask-air').waitFor();
  const off = await milestone('form_off');
  must(!off || off.opens.late === null, JSON.stringify(off));
  await page.screenshot({ path: join(out, 'ask-air-phone.png') });
  const { width, height } = await at(page, 'air-more').boundingBox();
  must(width >= 60 && height >= 60, `${width} by ${height}`);
});

await check('plus and minus and one button save the reading, and times are there', async () => {
  await at(page, 'air-less').click();
  for (let i = 0; i < 6; i += 1) await at(page, 'air-less').click();
  await at(page, 'air-save').click();
  await until('the times', async () => (await milestone('form_off'))?.opens.late);
  await at(page, 'ask-air').waitFor({ state: 'detached' });
  same((await pour(id)).missing, [], 'nothing is missing');
});

await check('a value far from the others is asked about directly after logging, and Yes confirms it', async () => {
  await log(event('reading', { at_ms: T - H, air_c: 16 }), event('reading', { at_ms: T - H / 2, air_c: 16 }));
  await page.reload();
  await at(page, 'bar-reading').click();
  await at(page, 'in-air_c').fill('45');
  await at(page, 'save-reading').click();
  await at(page, 'odd').waitFor();
  const asked = await at(page, 'odd').textContent();
  must(/45/.test(asked) && /more/.test(asked) && /right\?/.test(asked), asked);
  await page.screenshot({ path: join(out, 'odd-phone.png') });
  await at(page, 'odd-yes').click();
  await at(page, 'odd').waitFor({ state: 'detached' });
  const all = await h.ask(`/api/sites/${SITE}/events?after=0`);
  const last = all.events.findLast((e) => e.kind === 'correction');
  same(last.body.changes, { confirmed: true }, 'the correction');
  same((await pour(id)).odd, [], 'asked once');
});

await check('or it is corrected right there', async () => {
  await at(page, 'bar-reading').click();
  await at(page, 'in-air_c').fill('-30');
  await at(page, 'save-reading').click();
  await at(page, 'odd').waitFor();
  await at(page, 'odd-correct').click();
  await at(page, 'sheet-reading').getByTestId('in-air_c').fill('17');
  await at(page, 'save-reading').click();
  await at(page, 'odd').waitFor({ state: 'detached' });
});

await check('at a desk', async () => {
  const wide = await open(desk, new Date(T).toISOString());
  await wide.goto(h.url);
  await wide.goto(`${origin}/site/${SITE}/pour/${id}`);
  await wide.getByTestId('now-block').waitFor();
  await wide.screenshot({ path: join(out, 'asked-desk.png') });
  await wide.context().close();
});

await check('nothing complained in the page', () => quiet(page));
await finish();
