// Large text: at 100, 150 and 200 %, on a phone and on a small one, in three languages and from
// right to left, on every screen: nothing scrolls sideways, nothing that is pressed lies on
// something else, no word leaves its button, and the main act is in sight or a scroll away,
// with nothing on top of it. WCAG 2.2: 1.4.4 (text at 200 %), 2.4.11 (focus not obscured).
// Promise: "Everything works by keyboard alone and with a screen reader, at 200 % zoom, with a contrast of 7:1, in light and dark; every curve has its table beside it."
import { h, pour, routes, settled, site } from './every-screen.mjs';
import { check, finish, open, phone, same } from './stage.mjs';

/** Text of a browser whose owner chose this much of the usual size. */
const grown = (page, share) => page.evaluate((s) => (document.documentElement.style.fontSize = `${17 * s}px`), share);

/** What is wrong with the page as it stands, in one line each. */
const faults = (page) =>
  page.evaluate(() => {
    const out = [];
    const wide = document.documentElement.clientWidth;
    const high = innerHeight;
    const name = (e) =>
      `${e.tagName.toLowerCase()}[${e.getAttribute('data-testid') ?? e.className}] ${e.textContent.trim().slice(0, 24)}`;
    const seen = (e) => {
      if (e.closest('.unseen, dialog:not([open])') || e.getClientRects().length === 0 || !e.checkVisibility())
        return false;
      const s = getComputedStyle(e);
      return s.visibility !== 'hidden' && s.opacity !== '0';
    };
    if (document.documentElement.scrollWidth > wide)
      out.push(`scrolls sideways by ${document.documentElement.scrollWidth - wide}`);
    const inside = (e) => e.closest('.scroll, svg, .table') !== null;
    for (const e of document.querySelectorAll('main *, aside *, .bar *')) {
      const r = e.getBoundingClientRect();
      if (
        seen(e) &&
        !inside(e) &&
        (r.right > wide + 1 || r.left < -1) &&
        r.width > 0 &&
        getComputedStyle(e).position !== 'absolute'
      )
        out.push(`over the edge: ${name(e)}`);
    }
    const pressed = [
      ...document.querySelectorAll('button, a[href], select, textarea, label.btn, label.tab, input:not([type=file])'),
    ].filter(seen);
    // Words that do not fit what they stand on.
    for (const e of pressed.filter((e) => e.matches('.btn, .tab, .way'))) {
      if (e.scrollWidth > e.clientWidth + 2) out.push(`too wide for itself: ${name(e)}`);
    }
    // Pairs that lie on each other; what floats above the page is its own plane.
    const plane = (e) => e.closest('.bar, .toasts, .act, .save, dialog') ?? null;
    const boxes = pressed.filter((e) => !inside(e)).map((e) => [e, e.getBoundingClientRect(), plane(e)]);
    for (const [i, [a, p, on]] of boxes.entries()) {
      for (const [b, q, off] of boxes.slice(i + 1)) {
        if (on !== off || a.contains(b) || b.contains(a) || a.labels?.[0] === b) continue;
        const x = Math.min(p.right, q.right) - Math.max(p.left, q.left);
        const y = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
        if (x > 3 && y > 3) out.push(`on each other: ${name(a)} and ${name(b)}`);
      }
    }
    // The main act: at once where it stands in a bar, otherwise after scrolling to it.
    for (const e of [...document.querySelectorAll('.btn.main')].filter(seen)) {
      if (!e.closest('.bar, .act, .save')) e.scrollIntoView({ block: 'center' });
      const r = e.getBoundingClientRect();
      if (r.left < -1 || r.right > wide + 1 || r.top < -1 || r.bottom > high + 1)
        out.push(
          `off the screen: ${name(e)} at ${Math.round(r.left)} ${Math.round(r.top)} to ${Math.round(r.right)} ${Math.round(r.bottom)}`,
        );
      if (r.height > high / 2) out.push(`fills the screen: ${name(e)}`);
      for (const [fx, fy] of [
        [0.5, 0.5],
        [0.1, 0.2],
        [0.9, 0.8],
      ]) {
        const top = document.elementFromPoint(r.left + r.width * fx, r.top + r.height * fy);
        if (top && top !== e && !e.contains(top) && !top.contains(e)) out.push(`covered: ${name(e)} by ${name(top)}`);
      }
    }
    const bar = [...document.querySelectorAll('.bar')].find(seen);
    if (bar && getComputedStyle(bar).position === 'fixed') {
      const r = bar.getBoundingClientRect();
      if (r.height > high * 0.4) out.push(`the bar takes ${Math.round((r.height / high) * 100)} % of the screen`);
      // The end of the page can be scrolled clear of it.
      scrollTo(0, document.documentElement.scrollHeight);
      const main = document.querySelector('main');
      const last = [...(main?.querySelectorAll('a[href], button') ?? [])]
        .filter((e) => seen(e) && !e.closest('.bar'))
        .at(-1);
      if (last && last.getBoundingClientRect().bottom > bar.getBoundingClientRect().top + 1)
        out.push(`under the bar for good: ${name(last)}`);
      scrollTo(0, 0);
    }
    return [...new Set(out)].slice(0, 8);
  });

const LANGUAGES = ['en-GB', 'de-DE', 'es-ES'];
const [PHONE, SMALL] = [
  { width: 390, height: 844 },
  { width: 360, height: 640 },
];
for (const locale of LANGUAGES) {
  const page = await open({ ...phone, viewport: PHONE, locale });
  await page.goto(h.url);
  // Every screen is loaded once in each language and then made larger, smaller and turned round.
  for (const route of routes) {
    await check(`${route.replace(site, 'SITE').replace(pour, 'POUR')}, ${locale}`, async () => {
      await page.setViewportSize(PHONE);
      await page.goto(h.origin + route);
      await settled(page);
      for (const size of [PHONE, SMALL]) {
        await page.setViewportSize(size);
        for (const share of [1, 1.5, 2]) {
          await grown(page, share);
          await page.waitForTimeout(60);
          same(await faults(page), [], `at ${share * 100} %, ${size.width} px`);
        }
      }
      if (locale !== 'en-GB') return;
      await page.setViewportSize(PHONE);
      await page.evaluate(() => (document.documentElement.dir = 'rtl'));
      for (const share of [1, 1.5, 2]) {
        await grown(page, share);
        await page.waitForTimeout(60);
        same(await faults(page), [], `at ${share * 100} %, from right to left`);
      }
    });
  }
  await page.context().close();
}
await finish();
