// Steps compared by their colour, across the flight, in words that heed the range, with what
// else differed; what is not alike gets a caution; a measurement can be put right.
// Promise: "Every colour comes with its range, and the words for a difference heed it."
// Promise: "what is not alike is compared only with a warning"
// Promise: "*Compare* lays the steps side by side, each with the additives that went in; tap two to read how far they are apart and what else differed."
import { check, finish, must, same, until } from './stage.mjs';
import { at, bring, colours, enter, event, fits, h, measure, page, pour, send, SITE } from './colour-site.mjs';

await bring(1, 4, 5, 6, 8);
// Each within one unit of the truth; the eighth was wet.
await measure(1, 4, 5, 6, 8);
const piece = (n) => page.locator(`[data-testid="piece"][data-pour="${pour(n)}"]`);
await page.context().addInitScript(() => localStorage.setItem('slowstone.person', 'Ada'));
await enter();

await check('two steps are compared in words, with what else differed', async () => {
  await page.goto(`${h.origin}/site/${SITE}/colour`);
  same(
    (await piece(4).getByTestId('piece-doses').textContent()).replace(/\s/g, ' '),
    'Red oxide 3 %',
    'what went into the fourth',
  );
  same(await piece(1).getByTestId('piece-doses').count(), 0, 'doses of the plain one');
  await piece(1).click();
  await at('one').waitFor();
  await piece(4).click();
  await at('pair').waitFor();
  must((await at('pair-word').textContent()).includes('plain'), await at('pair-word').textContent());
  must((await at('pair-tends').textContent()).includes('darker, redder'), await at('pair-tends').textContent());
  must((await at('differed').textContent()).includes('Red oxide'), await at('differed').textContent());
  same(await at('caution-state_differs').count(), 0, 'caution between two dry ones');
  await piece(5).click();
  await at('one').waitFor();
  await piece(8).click();
  await at('caution-state_differs').waitFor();
});

await check('a measurement filed wrong is put right, and a card renamed', async () => {
  const state = async () => (await colours()).pieces.find((p) => p.pour === pour(6)).measured[0].state;
  await piece(6).click();
  if (!(await at('one').isVisible())) await piece(6).click();
  await at('colour-edit').first().click();
  await at('wet-damp').click();
  await at('save-colour').click();
  await until('the change', async () => (await state()) === 'damp');
  await send(
    '/api/events',
    JSON.stringify({
      events: [
        event('state-back-6', 'correction', {
          target: (await colours()).pieces.find((p) => p.pour === pour(6)).measured[0].id,
          changes: { state: 'dry' },
          seen: [],
        }),
      ],
    }),
  );
  await page.goto(`${h.origin}/site/${SITE}/colour/measure`);
  await at('card-edit').first().click();
  await at('in-name').fill('Grey, from the tin');
  await at('save-card').click();
  await until('the name', async () => (await colours()).cards.some((c) => c.fact.name === 'Grey, from the tin'));
  await page.goto(`${h.origin}/site/${SITE}/colour`);
  await at('swatches').waitFor();
});

await check('the screen fits a phone, and buttons can be hit', () => fits('colour'));
await finish();
