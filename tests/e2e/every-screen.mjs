// A hub with the demonstration, the address of every screen on it, and what is written on
// one: for the flows that go over all of them. No checks here.
import { screensOf } from './screens.mjs';
import { hub } from './stage.mjs';

export { settled } from './screens.mjs';

export const h = await hub({ empty: false });
export const site = (await h.ask('/api/sites'))[0].id;
const view = await h.ask(`/api/sites/${site}`);
export const at = `/site/${site}`;
export const pour = view.steps[3].pour.id;
export const routes = screensOf(site, [pour, view.samples[0].id], view.steps[5].step.id);

/** What people called their things: that stays as they wrote it. */
const names = [
  ...new Set([...JSON.stringify(view).matchAll(/"(?:name|mix|form|liner|place)":"([^"]{4,})"/g)].map((m) => m[1])),
];
/** What is written on the page and in the names of its parts, without the names of things. */
export const written = (page) =>
  page.evaluate((names) => {
    const all = [];
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walk.nextNode()) {
      const parent = walk.currentNode.parentElement;
      const other = parent?.closest('[lang]')?.getAttribute('lang');
      if (parent && !parent.closest('script, style, noscript') && (!other || other === document.documentElement.lang))
        all.push(walk.currentNode.textContent.trim());
    }
    for (const e of document.querySelectorAll('[aria-label], [alt], [placeholder], [title]'))
      for (const a of ['aria-label', 'alt', 'placeholder', 'title']) all.push(e.getAttribute(a) ?? '');
    return [
      ...new Set(all.map((w) => names.reduce((rest, name) => rest.replaceAll(name, ''), w).trim()).filter(Boolean)),
    ];
  }, names);
