// Words: the whole app in German and in Spanish, on every screen. No English is left over, no
// key shows as its own name, numbers have their comma, nothing is wider than a small phone;
// the same with lines that run from right to left and words half as long again. Lengths are
// read as people write them, and a US site shows no metric unit.
import { mkdirSync, readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { check, finish, hub, must, open, out, phone, same, top } from './stage.mjs';

const h = await hub({ empty: false });
const site = (await h.ask('/api/sites'))[0].id;
const view = await h.ask(`/api/sites/${site}`);
const parts = readdirSync(join(top, 'ui/src/settings')).map((f) => `/settings/${f.replace('.svelte', '')}`);
const at = `/site/${site}`;
const routes = [
  '/', '/settings', ...parts, '/lost/for/good', at, `${at}/log`, `${at}/setup`, `${at}/weather`, `${at}/pour/${view.steps[3].pour.id}`, `${at}/pour/${view.samples[0].id}`,
  `${at}/plan`, `${at}/plan/buy`, `${at}/plan/days`, `${at}/plan/check`, `${at}/colour`, `${at}/colour/measure`, `${at}/colour/dose`, `${at}/handover`, '/search', '/pair',
];
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

async function settled(page) {
  await page.locator('main').first().waitFor();
  await page.waitForFunction(() => !document.querySelector('[data-testid="loading"], .loading'));
  await page.waitForTimeout(150);
}
/** What people called their things: that stays as they wrote it. */
const names = [...new Set([...JSON.stringify(view).matchAll(/"(?:name|mix|form|liner|place)":"([^"]{4,})"/g)].map((m) => m[1]))];
/** What is written on the page and in the names of its parts, without the names of things. */
const written = (page) =>
  page.evaluate((names) => {
    const all = [];
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) {
      const parent = walk.currentNode.parentElement;
      const other = parent?.closest('[lang]')?.getAttribute('lang');
      if (parent && !parent.closest('script, style, noscript') && (!other || other === document.documentElement.lang)) all.push(walk.currentNode.textContent.trim());
    }
    for (const e of document.querySelectorAll('[aria-label], [alt], [placeholder], [title]')) for (const a of ['aria-label', 'alt', 'placeholder', 'title']) all.push(e.getAttribute(a) ?? '');
    return [...new Set(all.map((w) => names.reduce((rest, name) => rest.replaceAll(name, ''), w).trim()).filter(Boolean))];
  }, names);
/** What reaches over an edge, or holds more text than it shows. */
const over = (page) =>
  page.evaluate(() => {
    const most = document.documentElement.clientWidth;
    const away = document.documentElement.scrollWidth - most;
    const inside = (e) => e.closest('.scroll, svg, .unseen, .table, dialog:not([open])') !== null;
    const out = (e) => { const r = e.getBoundingClientRect(); return r.width > 0 && (r.right > most + 1 || r.left < -1); };
    const bad = [...document.querySelectorAll('main *, nav *, .banners *')].filter((e) => !inside(e) && ((out(e) && getComputedStyle(e).position !== 'absolute') || (e.matches('button, a.btn') && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0)));
    return [...(away > 0 ? [`scrolls ${away} px sideways`] : []), ...bad.slice(0, 3).map((e) => `${e.tagName}.${e.className} ${e.textContent.trim().slice(0, 40)}`)];
  });
async function speak(page, lang) {
  await page.goto(h.url);
  await settled(page);
  await page.goto(`${h.origin}/settings/language`);
  await page.getByTestId(`language-${lang}`).click();
  await page.waitForFunction((l) => document.documentElement.lang === l, lang);
}

for (const [lang, locale] of [['de', 'de-DE'], ['es', 'es-ES']]) {
  const page = await open({ ...phone, locale });
  const not = foreign(lang);
  await check(`${lang}: chosen in the settings`, async () => {
    await speak(page, lang);
    same(await page.evaluate(() => [document.documentElement.lang, document.documentElement.dir]), [lang, 'ltr'], 'language and direction of the page');
  });
  for (const route of routes) {
    await check(`${lang}: ${route.replace(site, 'SITE')}`, async () => {
      await page.goto(h.origin + route);
      await settled(page);
      const said = await written(page);
      same(said.filter((w) => not.has(w)), [], 'English on the page');
      same(said.filter((w) => keys.has(w) && /[-_]/.test(w)), [], 'keys on the page');
      const points = said.filter((w) => /(?<![\d.:/])\d+\.\d+(?![\d.:])/.test(w) && !/\d{1,2}\.\d{1,2}\.|\d\.\d{3}(?!\d)|ISO|\.svg|SHA|slowstone/i.test(w));
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
  for (const [name, route] of [['site', at], ['pour', routes[routes.indexOf(at) + 4]], ['buy', `${at}/plan/buy`]]) {
    await page.goto(h.origin + route);
    await settled(page);
    await page.screenshot({ path: join(out, `words-${lang}-${name}.png`) });
  }
  await page.context().close();
}

await check('right to left, with long words: nothing is cut off', async () => {
  // Without the service worker, which would give the words as they are.
  const page = await open({ ...narrow, serviceWorkers: 'block' });
  // A made-up language: English, each text half as long again, in lines from right to left.
  await page.route(/\/assets\/en-[^/]+\.ftl/, async (route) => {
    const answer = await route.fetch();
    const long = (await answer.text()).replace(/^((?:[a-z][\w-]*| +\.[\w-]+) = )([^{}\n]+)$/gim, (_, head, text) => `${head}${text} ${text.slice(0, Math.ceil(text.length / 2))}`);
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

await check('a US site: no metric unit on any screen, in the table or the drawing', async () => {
  const page = await open(phone);
  await page.goto(h.url);
  await settled(page);
  await page.goto(`${h.origin}${at}/setup`);
  await page.getByTestId('edit-site').click();
  await page.getByTestId('in-units').selectOption('us');
  await page.getByTestId('save-site').click();
  if (await page.getByTestId('name-input').isVisible().catch(() => false)) {
    await page.getByTestId('name-input').fill('Ada');
    await page.getByTestId('name-save').click();
  }
  await page.waitForFunction(async (s) => (await (await fetch(`/api/sites/${s}`)).json()).site.fact.units === 'us', site);
  const metric = /\d[\s\u00a0\u202f]?(°C|mm|cm|m|m²|km\/h|kg|g|L|ml|MPa|kg\/m²\/h)(?![\w²³/])/;
  const found = [];
  for (const route of routes) {
    await page.goto(h.origin + route);
    await settled(page);
    for (const w of await written(page)) if (metric.test(w)) found.push(`${route.replace(site, 'SITE')}: ${w}`);
  }
  const table = await (await fetch(`${h.origin}/api/sites/${site}/plan/list.csv?lang=de`, { headers: { authorization: `Bearer ${new URL(h.url).searchParams.get('t')}` } })).text();
  must(table.includes('Bewehrungsmatte'), `the table is not in German: ${table.slice(0, 300)}`);
  for (const line of table.split('\n')) if (/"(kg|L|m|m²)"| mm"/.test(line)) found.push(line);
  same(found, [], 'metric on a US site');
  // A length typed in any unit is read, and told in the unit of the site.
  await page.goto(`${h.origin}${at}/setup`);
  await page.getByTestId('add-step').click();
  const field = page.getByTestId('in-width_m');
  for (const [typed, told] of [['150 mm', '5 7/8"'], ['1,2 m', `3'-11 1/4"`], ['6ft 3in', `6'-3"`], ['5½', '5 1/2"']]) {
    await field.fill(typed);
    must((await page.getByTestId('echo-width_m').textContent()).includes(told), `${typed} is not told as ${told}`);
  }
  await field.fill('five feet');
  await field.blur();
  must((await page.getByTestId('wrong-width_m').textContent()).includes('350 mm'), 'a length that cannot be read is not explained');
});

await finish();
