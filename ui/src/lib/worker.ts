// The service worker's other side: registers it, and offers a new version instead of
// changing over by itself. Without one (an old browser, a plain address) the app works,
// but does not open without the hub. What it keeps: sw.ts.

import { app } from './app.svelte';

const HOUR = 3_600_000;

export async function register(): Promise<void> {
  const workers = (navigator as { serviceWorker?: ServiceWorkerContainer }).serviceWorker;
  // A guest only reads, and only while the hub is there.
  if (!workers || !import.meta.env.PROD || app.me?.via === 'guest') return;
  const registration = await workers.register('/sw.js', { updateViaCache: 'none' });
  let asked = false;
  const offer = (): void => {
    // The first one has nothing to take the place of.
    if (!registration.waiting || !workers.controller) return;
    app.renew = () => {
      asked = true;
      registration.waiting?.postMessage('take over');
    };
  };
  offer();
  registration.addEventListener('updatefound', () => registration.installing?.addEventListener('statechange', offer));
  const had = workers.controller !== null;
  workers.addEventListener('controllerchange', () => {
    if (asked) location.reload();
    // Another page of this browser changed over: the parts of this one are gone.
    else if (had) app.renew = () => location.reload();
  });
  const look = (): void => void registration.update().catch(() => undefined);
  setInterval(look, HOUR);
  addEventListener('slowstone-back', look);
}
