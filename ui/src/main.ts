// Starts the app: look, clock, routes, the watch on the hub. Everything else hangs on these.

import { mount } from 'svelte';
import App from './App.svelte';
import './app.css';
import { swallowEchoes } from './lib/bounce';
import { begin, hurry, who } from './log/link';
import { app } from './lib/app.svelte';
import { onLink, parse } from './lib/router';
import { dir, language, loadWords } from './lib/words';

document.documentElement.lang = language;
document.documentElement.dir = dir;
app.dress();

const wide = matchMedia('(min-width: 64rem)');
const measure = (): void => void (app.wide = wide.matches);
wide.addEventListener('change', measure);
measure();

addEventListener('popstate', () => {
  const before = JSON.stringify(app.route);
  app.route = parse(location.pathname, location.search);
  if (before !== JSON.stringify(app.route)) scrollTo(0, 0);
});
swallowEchoes(document);
document.addEventListener('click', onLink);
addEventListener('online', hurry);
document.addEventListener('visibilitychange', () => {
  if (!document.hidden) hurry();
});
setInterval(() => app.tick(), 15_000);

const target = document.getElementById('app');
const fail = (): void => {
  // The one text that cannot come from the file of words.
  if (target)
    target.textContent = 'Slowstone could not load its words. Look whether the hub runs, then load the page again.';
};
loadWords().then(async () => {
  await begin();
  if (target) mount(App, { target });
  hurry();
  // After the first screen: what makes the app open without the hub next time.
  const { register } = await import('./lib/worker');
  await who();
  await register().catch(() => undefined);
}, fail);
