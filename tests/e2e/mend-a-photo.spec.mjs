// A photo whose file went bad on the disk: the page, the grid and the large picture say so,
// another picture is not taken for it, and the same file sent again makes it whole.
// Promise: "A photo whose file is damaged or gone says so where it is shown; the same file sent again makes it whole."
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { check, corpus, finish, must, out, same, until } from './stage.mjs';
import { at, data, h, logPour, phoneOf, pour, quiet, visit } from './reed-bank.mjs';

const picture = join(corpus, 'gen_orient_6.jpg');
const ada = await phoneOf('Ada');
const id = await logPour(ada, 15);
await ada.getByTestId('photo-input').setInputFiles(picture);
const [photo] = await until('the photo', async () => {
  const { photos } = await pour(id);
  return photos.length === 1 && photos;
});
const { hash } = photo.fact;
const file = join(data, 'photos', hash.slice(0, 2), hash.slice(2));

/** A byte of the file turns, as on a worn card, and the small pictures are made anew from it. */
function spoil() {
  const bytes = readFileSync(file);
  bytes[bytes.length >> 1] ^= 0x20;
  writeFileSync(file, bytes);
  rmSync(join(data, 'thumbs'), { recursive: true, force: true });
}
const whole = () => ada.locator('[data-testid="photo-thumb"] img').evaluate((i) => i.complete && i.naturalWidth > 0);
/** Another phone, which has seen nothing yet. */
let other;

await check('the page of the pour says that the file is damaged', async () => {
  spoil();
  other = await phoneOf('Bram');
  await visit(other, `/pour/${id}`);
  await at(other, 'photo-thumb').scrollIntoViewIfNeeded();
  await at(other, 'photo-damaged').waitFor();
  must((await at(other, 'photo-no-picture').textContent()).includes('damaged on the hub'), 'what it says');
  must((await at(other, 'photo-damaged').textContent()).includes('send the same file again'), 'what to do');
  await other.screenshot({ path: join(out, 'photo-damaged-page.png') });
});

await check('the grid of photos shows that it is there and cannot be seen', async () => {
  await visit(other, '/photos');
  await at(other, 'board-broken').waitFor();
  await other.screenshot({ path: join(out, 'photo-damaged-board.png') });
});

await check('the large picture says so, and what to do', async () => {
  await visit(other, `/pour/${id}`);
  await at(other, 'photo-thumb').click();
  await at(other, 'viewer-damaged').waitFor();
  must(/damaged on the hub.*send the same file again/s.test(await at(other, 'viewer-damaged').textContent()), 'words');
  await other.screenshot({ path: join(out, 'photo-damaged-viewer.png') });
});

await check('another picture is not taken for it', async () => {
  await at(other, 'viewer-again-input').setInputFiles(join(corpus, 'gen_orient_3.jpg'));
  await other.getByText('This is another picture').first().waitFor();
  same((await h.ask('/api/photos')).damaged.length, 1, 'damaged');
});

await check('the same file sent again makes it whole, in the viewer and on the page', async () => {
  await at(other, 'viewer-again-input').setInputFiles(picture);
  await until('the hub', async () => (await h.ask('/api/photos')).damaged.length === 0);
  await at(other, 'photo-full').waitFor();
  await until('the large picture', () => at(other, 'photo-full').evaluate((i) => i.complete && i.naturalWidth > 0));
  await other.screenshot({ path: join(out, 'photo-mended-viewer.png') });
  await at(other, 'photo-close').click();
  await at(other, 'photo-damaged').waitFor({ state: 'detached' });
  same((await pour(id)).photos.length, 1, 'entries of it');
  same(Buffer.compare(readFileSync(file), readFileSync(picture)), 0, 'the bytes on the disk');
});

await check('a file that is gone is said too, and comes back from the page', async () => {
  rmSync(file);
  rmSync(join(data, 'thumbs'), { recursive: true, force: true });
  const third = await phoneOf('Cleo');
  await visit(third, `/pour/${id}`);
  await at(third, 'photo-thumb').scrollIntoViewIfNeeded();
  await at(third, 'photo-damaged').waitFor();
  must((await at(third, 'photo-no-picture').textContent()).includes('gone from the hub'), 'what it says');
  await at(third, 'photo-again-input').setInputFiles(picture);
  await at(third, 'photo-damaged').waitFor({ state: 'detached' });
  await until('the picture', () =>
    third.locator('[data-testid="photo-thumb"] img').evaluate((i) => i.complete && i.naturalWidth > 0),
  );
  await third.context().close();
});

await check('whoever took it still sees it, and nothing complained', async () => {
  await ada.reload();
  await at(ada, 'photo-thumb').scrollIntoViewIfNeeded();
  await until('the picture', whole);
  quiet(ada, other);
});
await finish();
