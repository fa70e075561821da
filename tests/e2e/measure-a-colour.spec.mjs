// The colour of a step from a photo with a card in it: marked, measured within one unit of the
// truth, refused in words when the card is over-exposed, with one card or two.
// Promise: "With a card of known colour in the picture the light can be taken out, and steps can be compared across days and phones. More, Colour, Measure."
// Promise: "White printer paper works, but sheets differ and the result says so."
// Promise: "With one card on each side, light that changes across the step is taken out as well."
// Promise: "open shade in daylight."
// Promise: "an over-exposed card is refused"
// Promise: "**Mark** clean concrete and the inside of the card, or tap a suggested place."
import { check, finish, must, same, until } from './stage.mjs';
import {
  at,
  bring,
  choosePhoto,
  colours,
  de2000,
  drag,
  enter,
  fits,
  page,
  photos,
  pour,
  scene,
  send,
  SITE,
} from './colour-site.mjs';

await bring(2, 3, 4, 5, 9, 11);

await check('the screen is reached, and says how to photograph', async () => {
  await enter();
  await at('site-link').first().click();
  await at('bar-more').click();
  await at('to-colour').click();
  await at('col-none').waitFor();
  for (const word of ['grey card', 'from above', 'without flash'])
    must((await at('col-none').textContent()).includes(word), `it does not say: ${word}`);
  must((await at('col-none').textContent()).includes('open shade'), 'it does not say how');
  await at('col-begin').click();
  same(await at('mark-photo').count(), 6, 'photos to choose');
});

await check('marked, measured, and within 1 unit of the truth', async () => {
  await choosePhoto(2);
  must(await at('mark-go').isDisabled(), 'measured with nothing marked');
  await drag(scene(2).patch_rect);
  await at('mark-1').click();
  await drag(scene(2).references[0].rect);
  await at('card-grey_card').click();
  await at('name-input').fill('Ada');
  await at('name-save').press('Enter');
  await until('the card', async () => (await colours()).cards.length === 1);
  await at('wet-dry').click();
  await at('mark-go').click();
  await at('lab').waitFor();
  const shown = (await at('lab').textContent()).match(/-?\d+(\.\d+)?/g).map(Number);
  must(de2000(shown, scene(2).lab_true) < 1, `${shown} against ${scene(2).lab_true}`);
  const piece = (await colours()).pieces.find((p) => p.pour === pour(2));
  same(piece.measured[0].state, 'dry', 'how wet');
  same(Math.round(piece.measured[0].age_d), 28, 'age');
});

await check('a suggested place and arrow keys mark it without dragging', async () => {
  await choosePhoto(3);
  await at('place').first().click();
  const left = () => page.locator('.rect.active').evaluate((e) => parseFloat(e.style.left));
  const before = await left();
  await at('mark-0').focus();
  await page.keyboard.press('ArrowRight');
  await until('the move', async () => (await left()) > before);
  await at('nudge-left').click();
  await until('the move back', async () => Math.abs((await left()) - before) < 0.01);
});

await check('an over-exposed card is refused in words, and nothing is entered', async () => {
  await choosePhoto(11);
  await drag(scene(11).patch_rect);
  await at('mark-1').click();
  await drag(scene(11).references[0].rect);
  await at('card-white_paper').click();
  await until('the card', async () => (await colours()).cards.length === 2);
  await at('wet-dry').click();
  await at('mark-go').click();
  await at('refusal').waitFor();
  must((await at('refusal').textContent()).includes('over-exposed'), await at('refusal').textContent());
  same((await colours()).pieces.find((p) => p.pour === pour(11)).measured.length, 0, 'measurements');
});

await check('white paper will do, and the result says that sheets differ', async () => {
  await choosePhoto(5);
  await drag(scene(5).patch_rect);
  await at('mark-1').click();
  await drag(scene(5).references[0].rect);
  await page.getByRole('button', { name: 'White printer paper' }).first().click();
  await at('wet-dry').click();
  await at('mark-go').click();
  await at('measured').waitFor();
  await page.getByText('White paper is a weak reference: sheets differ.').waitFor();
});

await check('a card of one’s own and a second card are taken', async () => {
  await choosePhoto(4);
  await drag(scene(4).patch_rect);
  await at('mark-1').click();
  await drag(scene(4).references[0].rect);
  await at('card-other').click();
  await at('card-name').fill('N8 chip');
  for (const [i, v] of scene(4).references[0].lab_d65.entries()) await at(`card-lab-${i}`).fill(String(v));
  await at('card-add').click();
  await at('wet-dry').click();
  await at('mark-go').click();
  await at('measured').waitFor();
  await choosePhoto(9);
  await drag(scene(9).patch_rect);
  await at('card-more').click();
  await drag(scene(9).references[1].rect);
  await at('mark-1').click();
  await drag(scene(9).references[0].rect);
  for (const pick of await page.getByRole('button', { name: 'Grey card, 18 %' }).all()) await pick.click();
  await at('wet-dry').click();
  await at('mark-go').click();
  await at('measured').waitFor();
  const { pieces } = await colours();
  for (const n of [4, 9]) {
    const [m] = pieces.find((p) => p.pour === pour(n)).measured;
    must(de2000(m.lab, scene(n).lab_true) < 1, `${m.lab} against ${scene(n).lab_true}`);
  }
});

await check('a rectangle outside of the photo is refused', async () => {
  const card = (await colours()).cards[0].id;
  const wrong = await send(
    `/api/sites/${SITE}/photos/${photos[2]}/colour`,
    JSON.stringify({ by: 'Ada', patch: [0, 0, 5000, 50], references: [{ card, rect: scene(2).references[0].rect }] }),
  );
  same([wrong.status, wrong.json.error.code], [422, 'outside'], 'a rectangle outside');
});

await check('the screens fit a phone, and buttons can be hit', () =>
  fits('colour', 'colour/measure', `colour/measure?photo=${photos[2]}`),
);
await finish();
