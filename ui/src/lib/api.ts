// The only way of a screen to the hub and to what this phone keeps: views, logging, photos,
// changes. Screens never call `fetch`. How it is kept and sent: ../log.

import { sendLater } from '../log/signals';
import { count, outbox } from '../log/keep';
import { get } from '../log/ask';
import { freshId, onlyReads } from '../log/write';
import { app } from './app.svelte';
import type { DamagedPhoto } from './routes.gen';
import { t } from './words';

export { get } from '../log/ask';
export { ApiError, send } from '../log/hub';
export { count, outbox } from '../log/keep';
export { changed, onChange } from '../log/signals';
export { freshId, log, logAndSay, saidSo, sayRefused, takeBack, type Draft, type Sent } from '../log/write';

/** What is said of a photo's place when it is taken: by the screen, or by a person. */
export interface Shown {
  pour?: string | null;
  step?: string | null;
  stage?: string;
}

/** The photos that cannot be shown, by the id of their entry; none when the hub is not reached. */
export async function damagedPhotos(): Promise<Map<string, DamagedPhoto>> {
  const said = await get('/api/photos').catch(() => ({ damaged: [] }));
  return new Map(said.damaged.map((p) => [p.event, p]));
}

/** Sends the file of a photo that is damaged on the hub again, under the id of its entry. */
export const sendAgain = (site: string, file: File, pour: string | null, id: string): Promise<boolean> =>
  addPhotos(site, [file], { pour }, id);

/** Keeps pictures on this phone, as they are, and has them sent. False when there is no name. */
export async function addPhotos(site: string, files: File[], shown: Shown = {}, id?: string): Promise<boolean> {
  if (files.length === 0) return true;
  if (onlyReads()) return false;
  const by = await app.whoIs();
  if (!by) return false;
  const added: string[] = [];
  for (const file of files) {
    const { pour = null, step = null, stage = '' } = shown;
    const photo = {
      id: id ?? freshId(),
      site,
      pour,
      step,
      stage,
      name: file.name,
      type: file.type,
      by,
      at_ms: app.clock(),
      size: file.size,
      why: '',
    };
    try {
      await outbox.addPhoto(photo, await file.arrayBuffer());
      added.push(photo.id);
    } catch {
      app.say(t('photo-no-room', { name: file.name }), true);
    }
    await count();
  }
  const photos = await import('../log/photos');
  await photos.sendPhotos().catch(async () => {
    await photos.sayWaiting(site, added);
    sendLater();
  });
  return true;
}

/** Address of a picture. */
export const photoUrl = (hash: string, size: 160 | 512 | 1600 | 'original'): string =>
  `/api/photos/${hash}?size=${size}`;
