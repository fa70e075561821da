// What can hurt somebody is said where it is done: on the form of a pour, beside the time line,
// at the planning of days, at the list to buy, in the record.
// Promise: "A predicted time is no permission. The bag's data sheet, local codes"
// Promise: "Wet concrete burns."
// Promise: "chipping and grinding set free respirable crystalline silica"
// Promise: "is above what one person should lift from the ground"
// Promise: "tears faces and edges"
// Promise: "Never shorten the printed demoulding time of a rubber by a model"
import { execFileSync } from 'node:child_process';
import { check, finish, hub, must, open, phone, program, same } from './stage.mjs';

const h = await hub({ clock: '2026-10-14T13:40:00Z', empty: false });
const page = await open(phone, '2026-10-14T13:40:00Z');
await page.goto(h.url);
const [{ id: site }] = await h.ask('/api/sites');
const view = await h.ask(`/api/sites/${site}`);
const text = async (path, testid) => {
  await page.goto(`${h.origin}/site/${site}${path}`);
  await page.getByTestId(testid).first().waitFor();
  return page.locator('main').first().textContent();
};
const says = (said, ...words) => {
  for (const word of words) must(said.toLowerCase().includes(word), `it does not say: ${word}`);
};
/** A pour in a phase. */
const pourIn = (...phases) =>
  [...view.steps.flatMap((s) => (s.pour ? [s.pour] : []))].find((p) => phases.includes(p.phase));

await check('where a pour is logged: burns and dust', async () => {
  says(await text('/log', 'log-form'), 'wet concrete burns skin and eyes', 'gloves', 'silica dust', 'mask');
});

await check('beside the time line: early stripping, dust of grinding, loads', async () => {
  const young =
    pourIn('setting', 'texture', 'fresh', 'hardening', 'form_off', 'green') ?? view.steps.find((s) => s.pour).pour;
  const said = await text(`/pour/${young.id}`, 'pour-screen');
  says(
    said,
    'off too early tears edges and relief',
    'keep it wet, wear a p100 or ffp3 mask',
    'two people lift',
    'the lower step carries form',
  );
  says(said, 'follow the data sheet of the bag, local codes, and for anything structural a licensed engineer');
});

await check('a bag is above what one person should lift from the ground', () => {
  // The revised NIOSH equation: from the ground to the hip, arms a little out, poor grip.
  for (const mass_kg of [30, 36.3]) {
    const input = JSON.stringify({ mass_kg, h_cm: 35, v_cm: 0, d_cm: 70, a_deg: 0, fm: 0.94, cm: 0.9 });
    const { li } = JSON.parse(execFileSync(program, ['calc', 'lift'], { input, encoding: 'utf8' }));
    must(li > 1, `${mass_kg} kg: a lifting index of ${li}, where above 1 means: get help`);
  }
});

await check('beside a green step that is to be moved: its mass, and the limits of lifting', async () => {
  const green = view.steps.find((s) => s.pour && ['green', 'curing'].includes(s.pour.phase));
  must(green, 'no young step in the demonstration');
  await text(`/pour/${green.pour.id}`, 'pour-screen');
  await page.getByText('Lifting by the limits of NIOSH for one person', { exact: false }).waitFor();
});

await check('in the list to buy and in the plan of the days', async () => {
  says(await text('/plan/buy', 'buy-bags'), 'pigment by weight');
  says(await text('/plan/days', 'days-sum'), 'the times are the cautious end of the prediction');
});

await check('in the record that is handed over', async () => {
  const html = await page.evaluate((id) => fetch(`/api/sites/${id}/record.html?lang=en`).then((a) => a.text()), site);
  says(html, 'engineer', 'data sheet');
});

await check('nothing complained in the page', () => same(page.complaints, [], 'console'));
await finish();
