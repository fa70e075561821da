// The record of the work, in a real browser: every file is downloaded and looked into by
// others' readers, and a second, empty hub takes the site in and hands the same bytes on.
// Promise: "makes the record of the work: every pour with its times, weather, mix, curve, what was foretold and what came, photos, colours and cautions, as PDF or as one page that opens anywhere"
// Promise: "Beside it all tables as CSV, all entries as JSON lines, the photos named by step and stage"
// Promise: "and a copy that another hub takes in and gives back byte for byte"
// Promise: "Places (GPS) are taken out of photos and tables unless a keeper leaves them in."
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { check, desk, finish, folder, hub, must, open, phone, same } from './stage.mjs';

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
/** What axe finds on a page; evaluated as the inspector does, so no policy of the page stops it. */
async function axe(on) {
  await on.evaluate(axeSource);
  return on.evaluate(() => globalThis.axe.run());
}

const clock = '2026-10-28T10:00:00Z';
const first = await hub({ clock, empty: false });
const page = await open({ ...phone, acceptDownloads: true });
await page.goto(first.url);
await page.getByTestId('site-link').first().click();
await page.getByTestId('bar-more').click();
await page.getByTestId('to-handover').click();
await page.getByTestId('hand-count').waitFor();
const site = new URL(page.url()).pathname.split('/')[2];
const kept = folder();

/** Downloads what a button gives. */
async function fetched(name) {
  const [file] = await Promise.all([page.waitForEvent('download'), page.getByTestId(name).click()]);
  const path = join(kept, file.suggestedFilename());
  await file.saveAs(path);
  return path;
}
/** Names in a zip, from its directory at the end (APPNOTE.TXT, 4.3.12). */
function names(path) {
  const b = readFileSync(path);
  const found = [];
  for (let at = b.indexOf('PK\x01\x02', 0, 'latin1'); at >= 0; at = b.indexOf('PK\x01\x02', at + 4, 'latin1')) {
    found.push(b.toString('utf8', at + 46, at + 46 + b.readUInt16LE(at + 28)));
  }
  return found;
}

await check('the screen is accessible and shows what there is', async () => {
  must(/6 pours, \d+ entries, 13 photos/.test(await page.getByTestId('hand-count').textContent()), 'counts');
  must(!(await page.getByTestId('hand-gps').isChecked()), 'positions are off at first');
  const { violations } = await axe(page);
  same(
    violations.map((v) => v.id),
    [],
    'axe',
  );
});

await check('the PDF names every pour and its time, by an outside reader', async () => {
  const path = await fetched('hand-pdf');
  must(readFileSync(path).subarray(0, 5).toString() === '%PDF-', 'is a PDF');
  const text = execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' });
  const { steps } = await first.ask(`/api/sites/${site}`);
  for (const { pour } of steps.filter((s) => s.pour)) {
    must(text.includes(`Step ${pour.step_number}`), `Step ${pour.step_number}`);
    // Oslo is two hours ahead in summer time, until 25 October 2026.
    const there = new Date(pour.started_ms + 2 * 3_600_000).toISOString();
    must(text.includes(`${there.slice(0, 10)} ${there.slice(11, 16)}`), there);
  }
  const info = execFileSync('pdfinfo', [path], { encoding: 'utf8' });
  must(/Title: +Site record: Canoe landing/.test(info) && /Tagged: +yes/.test(info) && info.includes('A4'), info);
});

await check('the web page stands alone, without network, and is accessible', async () => {
  const path = await fetched('hand-html');
  const alone = await open(desk);
  await alone.context().setOffline(true);
  const asked = [];
  alone.on('request', (r) => asked.push(r.url().slice(0, 40)));
  await alone.goto(pathToFileURL(path).href);
  same(
    asked.filter((u) => !u.startsWith('file:') && !u.startsWith('data:')),
    [],
    'requests',
  );
  same(await alone.title(), 'Site record: Canoe landing', 'title');
  same(await alone.locator('h2.new').count(), 7, 'a chapter for each pour, and the colours');
  const broken = await alone
    .locator('img')
    .evaluateAll((all) => all.filter((i) => i.naturalWidth === 0 || !i.alt).length);
  same(broken, 0, 'photos that do not show');
  const { violations } = await axe(alone);
  same(
    violations.map((v) => v.id),
    [],
    'axe',
  );
});

await check('tables and photos have their names', async () => {
  const tables = names(await fetched('hand-csv'));
  for (const one of ['pours.csv', 'batches.csv', 'readings.csv', 'milestones.csv']) must(tables.includes(one), one);
  const photos = names(await fetched('hand-photos'));
  must(
    photos.every((n) => /^[a-z0-9_.-]+$/.test(n)),
    photos.join(),
  );
  must(
    photos.some((n) => /^step-01_pour-2026-09-24_fresh_\d{4}\.jpg$/.test(n)),
    photos.join(),
  );
});

await check('another hub takes the site in, and hands the same bytes on', async () => {
  const zip = await fetched('hand-zip');
  const lines = await fetched('hand-jsonl');
  const second = await hub({ clock });
  const there = await open({ ...phone, acceptDownloads: true });
  await there.goto(second.url);
  await there.getByTestId('to-settings').click();
  await there.getByTestId('set-take').click();
  await there.getByTestId('take-file').setInputFiles(zip);
  must(/13 photos/.test(await there.getByTestId('take-done').textContent()), 'photos');
  const token = new URL(second.url).searchParams.get('t');
  const get = async (file) =>
    Buffer.from(
      await (
        await fetch(`${second.origin}/api/sites/${site}/${file}`, { headers: { authorization: `Bearer ${token}` } })
      ).arrayBuffer(),
    );
  must((await get('record.zip')).equals(readFileSync(zip)), 'the zip is not the same');
  const events = (b) =>
    b
      .toString()
      .split('\n')
      .filter((l) => l.startsWith('{"event"') && !l.includes('"kind":"photo"'));
  same(events(await get('record.jsonl')), events(readFileSync(lines)), 'entries');
  writeFileSync(join(kept, 'half.zip'), readFileSync(zip).subarray(0, 5000));
  await there.getByTestId('take-file').setInputFiles(join(kept, 'half.zip'));
  must((await there.getByTestId('take-trouble').textContent()).includes('no whole copy'), 'half a zip');
});

await check('nothing complained in the page', () => same(page.complaints, [], 'console'));
await finish();
