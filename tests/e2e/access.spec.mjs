// Access: axe on every screen, in light and dark, at the size of a phone and of a desk, and
// in the states that people meet (empty, form with a mistake, sheet open, no hub, lost).
// Text has the contrast of 7:1 (WCAG 2.2, 1.4.6); the rules are those of axe-core.
// Promise: "Everything works by keyboard alone and with a screen reader, at 200 % zoom, with a contrast of 7:1, in light and dark; every curve has its table beside it."
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { h, pour, routes, settled, site } from './every-screen.mjs';
import { check, desk, finish, hub, must, open, phone, same } from './stage.mjs';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const bare = await hub();

const CONTRAST = ['color-contrast', 'color-contrast-enhanced'];

/** What axe has against the page, in one line each. */
async function complaints(page, only) {
  await page.evaluate(axe);
  const { violations } = await page.evaluate(
    (only) =>
      window.axe.run(
        document,
        only
          ? { runOnly: { type: 'rule', values: only } }
          : {
              runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
              rules: { 'color-contrast-enhanced': { enabled: true } },
            },
      ),
    only,
  );
  return violations.flatMap((v) =>
    v.nodes.map((n) => `${v.id}: ${n.target.join(' ')} ${n.failureSummary?.split('\n')[1]?.trim() ?? ''}`),
  );
}
async function clean(page, what, only = null) {
  const found = await complaints(page, only);
  must(found.length === 0, `${what}: ${found.slice(0, 6).join(' | ')}`);
}

// Everything in two of the four combinations; in the other two, what they alone can change.
for (const [name, size, colorScheme, only] of [
  ['phone', phone, 'light', null],
  ['desk', desk, 'dark', null],
  ['phone', phone, 'dark', CONTRAST],
  ['desk', desk, 'light', CONTRAST],
]) {
  const page = await open({ ...size, colorScheme, reducedMotion: 'reduce' });
  await page.goto(h.url);
  for (const route of routes) {
    await check(`${route.replace(site, 'SITE').replace(pour, 'POUR')} on a ${name}, ${colorScheme}`, async () => {
      await page.goto(h.origin + route);
      await settled(page);
      await clean(page, route, only);
      const wide = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      same(wide, 0, 'pixels to scroll sideways');
    });
  }
  await page.context().close();
}

const page = await open(phone);
const id = (name) => page.getByTestId(name);
await check('an empty hub', async () => {
  await page.goto(bare.url);
  await settled(page);
  await clean(page, 'empty');
});
await check('a sheet with a mistake in it', async () => {
  await id('new-site').click();
  await id('in-name').fill('');
  must(await id('save-site').isDisabled(), 'a site without a name can be saved');
  await clean(page, 'sheet');
});
await check('an empty site', async () => {
  await id('in-name').fill('Terrace');
  await id('save-site').click();
  await id('name-input').fill('Ada');
  await id('name-save').click();
  await page.waitForURL(/\/site\//);
  await settled(page);
  await clean(page, 'empty site');
});
await check('no hub', async () => {
  await bare.stop();
  await page.reload().catch(() => undefined);
  await page.locator('h1').first().waitFor();
  await settled(page);
  await clean(page, 'no hub');
});

/** What reaches over the right edge, beside what scrolls by itself. */
const over = (page) =>
  page.evaluate(() => {
    const most = document.documentElement.clientWidth;
    const inside = (e) => e.closest('.scroll, svg, .unseen, .table, dialog:not([open])') !== null;
    return [...document.querySelectorAll('main *')]
      .filter(
        (e) => !inside(e) && e.getBoundingClientRect().right > most + 1 && getComputedStyle(e).position !== 'absolute',
      )
      .slice(0, 3)
      .map((e) => `${e.tagName}.${e.className}`);
  });
// WCAG 2.2: text at 200 % (1.4.4), and layout at 320 px, which is 400 % of 1280 (1.4.10).
for (const [what, width, size] of [
  ['text at twice the size', 640, '200%'],
  ['320 px', 320, '100%'],
]) {
  await check(`${what}: nothing is cut off`, async () => {
    const page = await open({ ...phone, viewport: { width, height: 640 } });
    await page.goto(h.url);
    for (const route of routes) {
      await page.goto(h.origin + route);
      await settled(page);
      await page.evaluate((s) => (document.documentElement.style.fontSize = s), size);
      same(await over(page), [], `${route}: what reaches over the edge`);
    }
  });
}

await check('the keyboard alone reaches and opens a pour', async () => {
  const page = await open(desk);
  await page.goto(h.url);
  await settled(page);
  for (let i = 0; i < 30; i += 1) {
    await page.keyboard.press('Tab');
    if (await page.evaluate(() => document.activeElement?.getAttribute('data-testid') === 'site-link')) break;
  }
  await page.keyboard.press('Enter');
  await page.waitForURL(/\/site\//);
  await settled(page);
  for (let i = 0; i < 60; i += 1) {
    await page.keyboard.press('Tab');
    const on = await page.evaluate(() => {
      const e = document.activeElement;
      const outline = getComputedStyle(e);
      return {
        href: e?.getAttribute('href') ?? '',
        seen: outline.outlineStyle !== 'none' || outline.boxShadow !== 'none',
      };
    });
    must(on.seen, `the focus does not show on ${on.href}`);
    if (/\/pour\//.test(on.href)) break;
  }
  await page.keyboard.press('Enter');
  await page.waitForURL(/\/pour\//);
});

await finish();
