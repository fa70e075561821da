// The page of a pour: photos, the plate with the one answer and how long it holds, the band, and
// the act under the thumb; everything else behind one tap, so that it is three screens at most.
// Promise: "On the pour's page a dark plate holds the one answer, how long it is safe, and what decides; the act, or its test, is the button under the thumb."
import { join } from 'node:path';
import { check, corpus, desk, finish, must, out, phone, same, until } from './stage.mjs';
import { at, event, log, phoneOf, pour, quiet, T, visit } from './reed-bank.mjs';

const H = 3_600_000;
const [id, old] = ['pour-e2e-act', 'pour-e2e-old'];
const a = await phoneOf('Ada', undefined, { ...phone, unfolded: false });
const seen = async (of) => (await pour(of)).observations.map((o) => o.fact.what);
await log(
  event('pour', { step: 'step-e2e-2', mix: 'mix-e2e-1', started_ms: T - 7 * H, air_c: 16, concrete_c: 18 }, id),
  event('pour', { step: 'step-e2e-1', mix: 'mix-e2e-1', started_ms: T - 60 * H, air_c: 16, concrete_c: 18 }, old),
  ...[48, 36, 24, 12, 1].map((h) => event('reading', { at_ms: T - h * H, air_c: 16 })),
);

await check('before a thumb has decided, the button is the test and logs nothing by itself', async () => {
  await visit(a, `/pour/${id}`);
  await at(a, 'now-block').waitFor();
  same((await pour(id)).card.head.says, 'try', 'the answer');
  must(/Thumb test/.test(await at(a, 'bar-act').textContent()), await at(a, 'bar-act').textContent());
  await at(a, 'test-thumb').waitFor();
  await a.screenshot({ path: join(out, 'act-test.png') });
  await at(a, 'bar-act').click();
  await at(a, 'sheet-happened').waitFor();
  same(await seen(id), [], 'logged');
  await at(a, 'sheet-close').press('Enter');
});

await check('what is left after the safe end is called likely, and that is explained', async () => {
  const { until: end } = (await pour(id)).card.act;
  const { early } = (await pour(id)).milestones.find((m) => m.kind === 'texture').closes;
  must(early < T && end > T, `safe until ${early}, likely until ${end}`);
  must(/Likely until/.test(await at(a, 'act-until').textContent()), await at(a, 'act-until').textContent());
  const minutes = Math.floor((end - T) / 60_000);
  const left = (await at(a, 'time-left').textContent()).replace(/\s+/g, ' ').trim();
  const shown = /^(?:(\d+) h )?(\d+) min left$/.exec(left);
  must(shown, left);
  // The page's clock has gone on since the hub was asked.
  const off = minutes - (Number(shown[1] ?? 0) * 60 + Number(shown[2]));
  must(off >= -1 && off <= 3, `${left}, of ${minutes} min`);
  await at(a, 'act-until').click();
  must((await at(a, 'now-block').textContent()).includes('one of two cases'), 'what likely means');
  await at(a, 'act-until').click();
});

await check('a sign that is tapped on the page is marked in the sheet, and one tap logs it', async () => {
  await at(a, 'test-thumb_deep').press('Enter');
  same(await at(a, 'obs-thumb_deep').getAttribute('aria-pressed'), 'true', 'marked');
  await at(a, 'obs-log').press('Enter');
  await at(a, 'sheet-happened').waitFor({ state: 'detached' });
  await until('the sign', async () => (await seen(id)).length === 1);
});

await check(
  'the form may come off: a wet glove that taps the act thrice opens the sheet and logs nothing',
  async () => {
    await visit(a, `/pour/${old}`);
    await at(a, 'photo-input').setInputFiles(join(corpus, 'gen_orient_6.jpg'));
    await at(a, 'film').waitFor();
    const act = at(a, 'bar-act');
    must(/Form is off/.test(await act.textContent()), await act.textContent());
    await a.screenshot({ path: join(out, 'act-now.png') });
    const r = await act.boundingBox();
    const [x, y] = [r.x + r.width / 2, r.y + r.height / 2];
    for (let i = 0; i < 3; i += 1) await a.touchscreen.tap(x, y);
    await at(a, 'sheet-happened').waitFor();
    await a.waitForTimeout(800);
    same(await seen(old), [], 'logged');
    same(await at(a, 'obs-stripped_clean').getAttribute('aria-pressed'), 'true', 'marked');
    await at(a, 'sheet-close').press('Enter');
  },
);

await check('everything else is behind one tap, on three screens at most, and stays as it was left', async () => {
  const screens = () => a.evaluate(() => document.documentElement.scrollHeight / innerHeight);
  must((await screens()) <= 3, `${await screens()} screens`);
  same(await at(a, 'edit-pour').isVisible(), false, 'the record is open');
  await at(a, 'fold-record').locator('summary').click();
  await at(a, 'edit-pour').waitFor();
  await a.reload();
  await at(a, 'edit-pour').waitFor();
  await at(a, 'fold-record').locator('summary').click();
  await at(a, 'edit-pour').waitFor({ state: 'hidden' });
});

await check('the band shows a day, a week or a month', async () => {
  for (const zoom of ['week', 'month', 'day']) {
    await at(a, `band-${zoom}`).click();
    same(await at(a, 'band').getAttribute('data-zoom'), zoom, 'how much of it');
  }
});

await check('at a desk the act stands in the plate', async () => {
  const wide = await phoneOf('Ada', undefined, desk);
  await visit(wide, `/pour/${old}`);
  await wide.getByTestId('page-act').waitFor();
  await wide.screenshot({ path: join(out, 'act-desk.png') });
  await wide.context().close();
});

await check('nothing complained in the page', () => quiet(a));
await finish();
