// From the height and length of a bank to steps, drawn to scale, and held against rules.
// Promise: "from the height and length of a bank to steps, held against the rules of IRC R311.7.5 or your own, drawn in section and plan to scale"
import { readFileSync } from 'node:fs';
import { check, finish, must, same, until } from './stage.mjs';
import { at, fits, h, id, page, plan, sheetGone } from './plan-site.mjs';

await check('a bank becomes a flight', async () => {
  await page.goto(`${h.origin}/site/${id}`);
  await at('head-plan').click();
  await at('lay-out').click();
  await at('in-bank_rise_m').fill('1.575 m');
  await at('in-bank_run_m').fill('2520');
  await at('lay-propose').click();
  await at('proposal-9').waitFor();
  // 9 risers of 175 with goings of 280 make 630: the worked flight of the trade.
  const said = await at('proposal-9').textContent();
  for (const size of ['175', '280', '630'])
    must(said.replaceAll('\u00a0', ' ').includes(`${size} mm`), `${size} is missing in ${said}`);
  await at('choose-9').click();
  await at('drawing').waitFor();
  const view = await plan();
  same(view.flights[0].steps.length, 9, 'steps');
  same(view.flights[0].findings, [], 'findings');
  same(view.flights[0].layout.fact.bank_rise_m, 1.575, 'the bank is kept');
});

await check('section and plan are drawn to scale and can be kept as a file', async () => {
  await until('the drawing', () => at('drawing').evaluate((img) => img.complete && img.naturalWidth > 0));
  const [file] = await Promise.all([page.waitForEvent('download'), at('drawing-save').click()]);
  const svg = readFileSync(await file.path(), 'utf8');
  const odd = await page.evaluate(
    (text) => new DOMParser().parseFromString(text, 'image/svg+xml').querySelector('parsererror')?.textContent ?? '',
    svg,
  );
  same(odd, '', 'well-formed');
  must(svg.includes('1:25') && svg.includes('>280<'), 'scale or size is missing');
});

await check('local rules are entered, and what breaks them is said', async () => {
  await at('edit-rules').click();
  await at('in-name').fill('Town of Reed');
  await at('in-riser_max_mm').fill('170');
  await at('save-rules').click();
  await sheetGone('rules');
  await at('amiss-riser').waitFor();
  same((await plan()).rules.fact.name, 'Town of Reed', 'whose rules');
  // Changed again: the same record is corrected.
  await at('edit-rules').click();
  await at('in-riser_max_mm').fill('190');
  await at('save-rules').click();
  await sheetGone('rules');
  await at('lie-good').waitFor();
});

await check('it fits a phone', () => fits('flight'));
await finish();
