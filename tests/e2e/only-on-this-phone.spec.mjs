// The strip at the top: what is only on this phone. It goes by itself when the hub is reached;
// a photo that was cut off, by a hub that is killed in the middle, goes on where it stopped.
// Promise: "A strip at the top says what is **only on this phone** and since when."
// Promise: "a photo that was cut off goes on where it stopped"
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { check, corpus, finish, must, same, until } from './stage.mjs';
import {
  at,
  back,
  banner,
  equal,
  h,
  isReady,
  large,
  letIn,
  logPour,
  noBanner,
  origin,
  phoneOf,
  PIECE,
  pour,
  quiet,
  rows,
  SITE,
  site,
  logSeen,
} from './reed-bank.mjs';

const a = await phoneOf('Ada');
const b = await phoneOf('Ben');
const first = await logPour(a, 14);
// Both have the app and the log, with that pour, before anything is out of reach.
for (const page of [a, b]) {
  await isReady(page);
  await until('the pour on the phone', async () => (await rows(page, 'events')).some((r) => r.id === first));
}

await check('the strip says how much waits, and since when', async () => {
  await a.context().setOffline(true);
  await at(a, 'photo-input').setInputFiles([join(corpus, 'gen_orient_6.jpg'), large('big.jpg', 3 * PIECE)]);
  await at(a, 'photo-waiting').nth(1).waitFor();
  await banner(a, 0, 2);
  must(/2 photos/.test(await at(a, 'waiting').textContent()), await at(a, 'waiting').textContent());
  must(
    (await at(a, 'waiting').textContent()).includes('oldest 5:00'),
    `it does not say since when: ${await at(a, 'waiting').textContent()}`,
  );
});

const offsets = [];
await check('the hub is killed while a photo is sent, and the rest follows when it is back', async () => {
  let cut = false;
  await a.context().route('**/api/uploads/**', async (route) => {
    const request = route.request();
    if (request.method() !== 'PUT') return route.continue();
    const offset = Number(new URL(request.url()).searchParams.get('offset'));
    offsets.push(offset);
    if (offset === PIECE && !cut) {
      cut = true;
      await h.stop('SIGKILL');
    }
    return route.continue().catch(() => undefined);
  });
  await a.context().setOffline(false);
  await until('the cut', () => cut);
  await at(a, 'offline').waitFor();
  await at(a, 'photo-waiting').first().waitFor();
  await back();
  same(h.origin, origin, 'address');
  await letIn(a);
  await until('both photos', async () => (await pour(first)).photos.length === 2, 40);
  await noBanner(a);
  const again = offsets.lastIndexOf(PIECE);
  must(offsets.filter((o) => o === 0).length === 2, `a photo was begun again: ${offsets}`);
  must(again > offsets.indexOf(PIECE), `it did not go on at the cut: ${offsets}`);
  const big = (await pour(first)).photos.find((p) => p.fact.name === 'big.jpg');
  same(big.fact.bytes, readFileSync(join(corpus, 'gen_orient_6.jpg')).length + 3 * PIECE, 'bytes');
  await at(a, 'photo-thumb').nth(1).waitFor();
  same([(await rows(a, 'photos')).length, (await rows(a, 'outbox')).length], [0, 0], 'left on the phone');
});

await check('the hub is gone: the app opens, what is logged is sent when it is back', async () => {
  await letIn(b);
  await h.stop('SIGKILL');
  await a.goto(`${origin}/site/${SITE}/pour/${first}`);
  await at(a, 'pour-screen').waitFor();
  await logSeen(a, 'sheen_gone');
  await at(a, 'observation').first().waitFor();
  await banner(a, 1, 0);
  await b.goto(`${origin}/site/${SITE}`);
  const second = await logPour(b, 12);
  await back();
  await letIn(a);
  await letIn(b);
  // By itself: nobody touches a button.
  await noBanner(a);
  await noBanner(b);
  await until(
    'what both logged',
    async () => (await pour(first)).observations.length === 1 && (await pour(second)).batches.length === 1,
  );
  for (const page of [a, b]) await page.goto(`${origin}/site/${SITE}`);
  await equal(a, b, async () => (await site()).steps.filter((s) => s.pour).length === 2);
});

await check('nothing complained in the pages', () => quiet(a, b));
await finish();
