// No way to the hub for days: one file holds everything that is not sent. Another phone gives
// it to the hub, twice, and nothing is there twice.
// Promise: "**Save a copy** makes one file of everything that is not sent."
// Promise: "Doing so twice does no harm."
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { check, corpus, finish, folder, must, same } from './stage.mjs';
import {
  at,
  banner,
  isReady,
  large,
  logPour,
  logReading,
  noBanner,
  phoneOf,
  PIECE,
  quiet,
  site,
} from './reed-bank.mjs';

const a = await phoneOf('Ada');
const b = await phoneOf('Ben');

await check('a day without the hub: a pour, two readings, two photos', async () => {
  await isReady(a);
  await a.context().setOffline(true);
  await logPour(a, 14);
  await logReading(a, 9);
  await logReading(a, 8);
  await at(a, 'photo-input').setInputFiles([join(corpus, 'gen_orient_6.jpg'), large('big.jpg', 3 * PIECE)]);
  await banner(a, 4, 2);
});

await check('a copy can be saved; the hub takes it in, and again without harm', async () => {
  const download = a.waitForEvent('download');
  await at(a, 'save-copy').click();
  const file = join(folder(), 'copy.jsonl');
  await (await download).saveAs(file);
  must(statSync(file).size > 4 * PIECE, 'the photos are not in it');
  const lines = readFileSync(file, 'utf8')
    .trim()
    .split('\n')
    .map((l) => JSON.parse(l));
  same(
    [lines[0].slowstone, lines.filter((l) => l.event).length, lines.filter((l) => l.photo).length, lines.at(-1).end],
    ['copy', 4, 2, { events: 4, photos: 2 }],
    'what is in it',
  );
  // Only the entries of the copy now: the photos are to go by themselves, below.
  writeFileSync(
    file,
    lines
      .filter((l) => !l.photo)
      .map((l) => `${JSON.stringify(l)}\n`)
      .join(''),
  );
  await at(b, 'bar-more').click();
  for (let round = 0; round < 2; round++) {
    await at(b, 'copy-import').setInputFiles(file);
    await at(b, 'imported').waitFor();
    must((await at(b, 'imported').textContent()).includes('4 entries'), await at(b, 'imported').textContent());
  }
  same((await site()).steps.filter((s) => s.pour).length, 1, 'pours');
});

await check('what was in the copy is not sent a second time', async () => {
  await a.context().setOffline(false);
  await noBanner(a);
  const view = await site();
  same(
    [view.steps.filter((s) => s.pour).length, view.steps.find((s) => s.pour).pour.started_ms > 0],
    [1, true],
    'pours',
  );
});

await check('nothing complained in the pages', () => quiet(a, b));
await finish();
