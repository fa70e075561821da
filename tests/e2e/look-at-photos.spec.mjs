// Photos on a phone: the grid, the viewer with two fingers, by swipes and by keys, the same
// stage of another step, before and after, and a photo without pixels.
// Photos: demo-data/photos (rendered) and tests/hub/data/exif-corpus.
// Promise: "Tap one to see it large, beside the same stage of another step, and before and after."
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { check, corpus, finish, hub, must, open, phone, same, top, until } from './stage.mjs';

const NOW = '2026-09-20T15:00:00Z';
const HOUR = 3_600_000;
const now = Date.parse(NOW);
const h = await hub({ clock: NOW });
const bearer = { authorization: `Bearer ${new URL(h.url).searchParams.get('t')}` };
const SITE = 'site-photos';
const send = async (path, body, type = 'application/json') => {
  const answer = await fetch(h.origin + path, { method: 'POST', headers: { ...bearer, 'content-type': type }, body });
  const json = await answer.json();
  same(answer.status, 200, JSON.stringify(json));
  return json;
};
const event = (id, kind, body, at_ms = now - 9 * HOUR) => ({ id, site: SITE, by: 'Ada', at_ms, kind, body });
const log = (events) => send('/api/events', JSON.stringify({ events }));
const photo = (file, pour, stage) =>
  send(
    `/api/sites/${SITE}/photos?by=Ada&name=${file.split('/').pop()}&pour=${pour}&stage=${stage}`,
    readFileSync(file),
    'image/jpeg',
  );
const demo = (name) => join(top, 'demo-data/photos', name);

await check('a site with photos of three steps', async () => {
  const made = [event(SITE, 'site', { name: 'Landing', tz: 'UTC' }), event('flight-01', 'flight', { name: 'Steps' })];
  for (const n of [1, 2, 3]) {
    made.push(
      event(`step-000${n}`, 'step', { flight: 'flight-01', number: n, width_m: 1.2, depth_m: 0.4, rise_m: 0.16 }),
    );
    made.push(
      event(`pour-000${n}`, 'pour', { step: `step-000${n}`, started_ms: now - (5 - n) * 24 * HOUR, air_c: 15 }),
    );
  }
  await log(made);
  for (const [n, stage, name] of [
    [1, 'fresh', 'step1-fresh'],
    [1, 'form_off', 'step1-stripped'],
    [2, 'fresh', 'step2-fresh'],
    [3, 'fresh', 'step3-fresh'],
    [3, 'form_off', 'step3-stripped'],
  ]) {
    await photo(demo(`${name}.jpg`), `pour-000${n}`, stage);
  }
  await photo(join(corpus, 'gen_cut.heic'), 'pour-0002', 'curing');
});

const page = await open(phone, NOW);
const at = (id) => page.getByTestId(id);
const said = () => at('photo-said').textContent();
const scale = async () => Number(await at('photo-full').getAttribute('data-scale'));
const drawn = () => page.waitForFunction(() => document.querySelector('[data-testid="photo-full"]')?.naturalWidth > 0);
/** Real touches, several at once. */
let cdp;
async function touch(...steps) {
  cdp ??= await page.context().newCDPSession(page);
  for (const points of steps) {
    const type = points === steps[0] ? 'touchStart' : points.length === 0 ? 'touchEnd' : 'touchMove';
    await cdp.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  }
}

await check('the viewer opens over the whole screen', async () => {
  await page.goto(h.url);
  await page.goto(`${h.origin}/site/${SITE}/pour/pour-0001`);
  await at('photo-thumb').nth(1).waitFor();
  await at('photo-thumb').nth(0).click();
  await at('photo-viewer').waitFor();
  await drawn();
  const box = await at('photo-viewer').boundingBox();
  same([box.width, box.height], [390, 844], 'size of the viewer');
  must((await said()).includes('1 of 2'), await said());
});

await check('two fingers enlarge, one moves, two taps go back', async () => {
  await touch(
    [
      [150, 300],
      [240, 300],
    ],
    [
      [120, 300],
      [270, 300],
    ],
    [
      [60, 300],
      [330, 300],
    ],
    [],
  );
  must((await scale()) > 2.5, `scale after the pinch: ${await scale()}`);
  const place = () => at('photo-full').evaluate((e) => e.style.transform);
  const before = await place();
  await touch([[200, 300]], [[180, 290]], [[120, 280]], []);
  must((await place()) !== before, 'the picture did not move');
  must((await said()).includes('1 of 2'), 'moving an enlarged picture must not turn the page');
  for (let n = 0; n < 2; n += 1) await touch([[200, 300]], []);
  await until('the whole picture', async () => (await scale()) === 1);
});

await check('swipes go to the next photo and to the same stage of another step', async () => {
  await touch([[300, 300]], [[200, 302]], [[90, 305]], []);
  await until('the second photo', async () => (await said()).includes('2 of 2'));
  await touch([[90, 300]], [[200, 302]], [[300, 305]], []);
  await until('the first photo', async () => (await said()).includes('1 of 2'));
  await touch([[200, 380]], [[202, 280]], [[204, 130]], []);
  await until('step 2', async () => /Step 2.*/.test(await said()));
});

await check('keys: same stage over steps that lack it, enlarge, whole, Escape', async () => {
  await page.keyboard.press('ArrowUp');
  await until('step 1 again', async () => (await said()).includes('Step 1'));
  await page.keyboard.press('ArrowRight');
  await until('form off', async () => (await said()).includes('2 of 2'));
  // Step 2 has no photo of that stage: step 3 is next.
  await page.keyboard.press('ArrowDown');
  await until('step 3', async () => (await said()).includes('Step 3') && (await said()).includes('2 of 2'));
  await page.keyboard.press('ArrowDown');
  await at('photo-note').waitFor();
  await drawn();
  await page.keyboard.press('+');
  same(await scale(), 1.5, 'scale');
  await page.keyboard.press('-');
  same(await scale(), 1, 'scale');
  await page.keyboard.press('Escape');
  await at('photo-viewer').waitFor({ state: 'detached' });
});

await check('before and after of one step with a slider', async () => {
  await at('photo-thumb').nth(0).click();
  await at('photo-compare').click();
  await at('before-after').waitFor();
  const part = () => at('before-after').evaluate((e) => getComputedStyle(e.querySelector('.over')).clipPath);
  const before = await part();
  await at('before-after-slider').focus();
  for (let n = 0; n < 5; n += 1) await page.keyboard.press('ArrowRight');
  must((await part()) !== before, 'the slider moves nothing');
  must((await said()).includes('1 of 2'), 'the slider must not turn the page');
  await at('photo-compare').click();
  await at('photo-area').waitFor();
  await at('photo-close').click();
});

await check('a photo without pixels says so and gives the original', async () => {
  await page.goto(`${h.origin}/site/${SITE}/pour/pour-0002`);
  await at('photo-thumb').nth(1).waitFor();
  await until('a placeholder in the grid', async () => {
    await at('photo-thumb').nth(1).scrollIntoViewIfNeeded();
    return (await at('photo-no-picture').count()) === 1;
  });
  await at('photo-no-picture').click();
  await at('photo-placeholder').waitFor();
  const text = await at('photo-viewer').textContent();
  must(text.includes('HEIC') && text.includes('kept as it is'), text);
  const link = await at('photo-original').getAttribute('href');
  const answer = await fetch(h.origin + link, { headers: bearer });
  same(
    Buffer.from(await answer.arrayBuffer()).equals(readFileSync(join(corpus, 'gen_cut.heic'))),
    true,
    'the original, byte for byte',
  );
  await at('photo-close').click();
});

await check('nothing was complained about in the console', async () => same(page.complaints, [], 'complaints'));
await finish();
