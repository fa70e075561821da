// The whole app in German and in Spanish, on every screen. No English is left over, no key
// shows as its own name, numbers have their comma, nothing is wider than a small phone; the
// same with lines that run from right to left and words half as long again.
// Promise: "English, German and Spanish (*Settings, Language*), with numbers and times as they are written there."
import { mkdirSync, readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { at, h, pour, routes, settled, site, written } from './every-screen.mjs';
import { check, finish, must, open, out, phone, same, top } from './stage.mjs';

mkdirSync(out, { recursive: true });
const narrow = { ...phone, viewport: { width: 320, height: 640 } };

/** The texts of a language that hold no value, by their key and attribute. */
function texts(lang) {
  const folder = join(top, 'ui/src/words', lang);
  const found = new Map();
  for (const file of readdirSync(folder)) {
    let key = '';
    for (const line of readFileSync(join(folder, file), 'utf8').split('\n')) {
      const m = /^(?:([a-z][\w-]*)| +\.([\w-]+)) = (.+)$/i.exec(line);
      if (m?.[1]) key = m[1];
      if (m && !m[3].includes('{')) found.set(m[2] ? `${key}.${m[2]}` : key, m[3]);
    }
  }
  return found;
}
const english = texts('en');
const keys = new Set([...english.keys()].map((k) => k.split('.')[0]));
/** What the app must not say in another language: English of two letters or more that differs from its own. */
const foreign = (lang) => {
  const own = new Set(texts(lang).values());
  return new Set([...english.values()].filter((w) => /[a-z]{2}/i.test(w) && !own.has(w)));
};

/** What reaches over an edge, or holds more text than it shows. */
const over = (page) =>
  page.evaluate(() => {
    const most = document.documentElement.clientWidth;
    const away = document.documentElement.scrollWidth - most;
    const inside = (e) => e.closest('.scroll, svg, .unseen, .table, dialog:not([open])') !== null;
    const out = (e) => {
      const r = e.getBoundingClientRect();
      return r.width > 0 && (r.right > most + 1 || r.left < -1);
    };
    const bad = [...document.querySelectorAll('main *, nav *, .banners *')].filter(
      (e) =>
        !inside(e) &&
        ((out(e) && getComputedStyle(e).position !== 'absolute') ||
          (e.matches('button, a.btn') && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0)),
    );
    return [
      ...(away > 0 ? [`scrolls ${away} px sideways`] : []),
      ...bad.slice(0, 3).map((e) => `${e.tagName}.${e.className} ${e.textContent.trim().slice(0, 40)}`),
    ];
  });
async function speak(page, lang) {
  await page.goto(h.url);
  await settled(page);
  await page.goto(`${h.origin}/settings/language`);
  await page.getByTestId(`language-${lang}`).click();
  await page.waitForFunction((l) => document.documentElement.lang === l, lang);
}

for (const [lang, locale] of [
  ['de', 'de-DE'],
  ['es', 'es-ES'],
]) {
  const page = await open({ ...phone, locale });
  const not = foreign(lang);
  await check(`${lang}: chosen in the settings`, async () => {
    await speak(page, lang);
    same(
      await page.evaluate(() => [document.documentElement.lang, document.documentElement.dir]),
      [lang, 'ltr'],
      'language and direction of the page',
    );
  });
  for (const route of routes) {
    await check(`${lang}: ${route.replace(site, 'SITE')}`, async () => {
      await page.goto(h.origin + route);
      await settled(page);
      const said = await written(page);
      same(
        said.filter((w) => not.has(w)),
        [],
        'English on the page',
      );
      same(
        said.filter((w) => keys.has(w) && /[-_]/.test(w)),
        [],
        'keys on the page',
      );
      const points = said.filter(
        (w) =>
          /(?<![\d.:/])\d+\.\d+(?![\d.:])/.test(w) &&
          !/\d{1,2}\.\d{1,2}\.|\d\.\d{3}(?!\d)|ISO|\.svg|SHA|slowstone/i.test(w),
      );
      same(points, [], 'numbers with a decimal point');
      for (const width of [390, 320]) {
        await page.setViewportSize({ width, height: 700 });
        same(await over(page), [], `at ${width} px`);
      }
      await page.setViewportSize(phone.viewport);
    });
  }
  await check(`${lang}: a comma is typed and shown`, async () => {
    await page.goto(`${h.origin}${at}/log`);
    await settled(page);
    await page.getByTestId('in-air_c').first().fill('12,5');
    same(await page.getByTestId('wrong-air_c').count(), 0, 'complaints');
    same(page.complaints, [], 'what the console said');
  });
  for (const [name, route] of [
    ['site', at],
    ['pour', `${at}/pour/${pour}`],
    ['buy', `${at}/plan/buy`],
  ]) {
    await page.goto(h.origin + route);
    await settled(page);
    await page.screenshot({ path: join(out, `words-${lang}-${name}.png`) });
  }
  await page.context().close();
}

// The hub refuses these; the form cannot know.
const bag = {
  de: 'Nicht angenommen. Frischbeton aus einem Sack: Passt nicht zum Gewicht des Sacks: In frischem Beton stecken 1 kg/L bis 3 kg/L Trockenmischung.',
  es: 'No se aceptó. Hormigón fresco por saco: No cuadra con el peso del saco: el hormigón fresco lleva de 1 kg/L a 3 kg/L de mezcla seca.',
};
for (const [lang, wanted] of Object.entries(bag)) {
  await check(`${lang}: what the hub refuses is said with its reason and its bounds`, async () => {
    const page = await open({ ...phone, locale: lang });
    const on = (id) => page.getByTestId(id);
    await page.goto(h.url);
    await page.goto(`${h.origin}${at}/setup`);
    await on('add-mix').click();
    await on('in-name').fill('Sack');
    await on('in-bag_kg').fill('30');
    await on('in-yield_l').fill('2');
    await on('save-mix').click();
    await on('name-input').fill('Ada');
    await on('name-save').click();
    const said = (await on('toast').first().innerText()).replaceAll('\u00a0', ' ');
    must(said.includes(wanted), said);
    await page.context().close();
  });
}

await check('right to left, with long words: nothing is cut off', async () => {
  // Without the service worker, which would give the words as they are.
  const page = await open({ ...narrow, serviceWorkers: 'block' });
  // A made-up language: English, each text half as long again, in lines from right to left.
  await page.route(/\/assets\/en-[^/]+\.ftl/, async (route) => {
    const answer = await route.fetch();
    const long = (await answer.text()).replace(
      /^((?:[a-z][\w-]*| +\.[\w-]+) = )([^{}\n]+)$/gim,
      (_, head, text) => `${head}${text} ${text.slice(0, Math.ceil(text.length / 2))}`,
    );
    await route.fulfill({ response: answer, body: long });
  });
  await page.goto(h.url);
  for (const route of routes) {
    await page.goto(h.origin + route);
    await settled(page);
    await page.evaluate(() => (document.documentElement.dir = 'rtl'));
    if (route === '/') must((await written(page)).includes('Sites Sit'), 'the words are not longer');
    same(await over(page), [], route);
    if (route === at) await page.screenshot({ path: join(out, 'words-rtl.png') });
  }
});

await finish();
