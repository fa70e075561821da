// Sends the photos that wait on this phone, in pieces, after the entries: what was cut off
// goes on where the hub's part ends. Loaded when there is one to send. Keeping them is in
// queue.ts, showing them in parts/LocalPhotos.svelte.

import { ApiError, alone, call, changed, count, drain, failure, outbox, saidSo, type PhotoTaken } from './api';
import { app } from './app.svelte';
import type { LocalPhoto } from './queue';
import { t } from './words';

/** Bytes of a piece: the hub takes 1 MiB; half of it gets through where a signal is weak. */
const PIECE = 1 << 19;
/** Longest time for one piece, ms: 4 kB a second. */
const PATIENCE = 120_000;

/** Sends all photos that wait. Rejects when the hub is not reached or in trouble. */
export function sendPhotos(): Promise<void> {
  return alone('photos', async () => {
    // A photo may hang on an entry that is not sent yet.
    await drain(new Set());
    const there: { site: string; id: string }[] = [];
    for (const photo of await outbox.photos()) {
      if (photo.why !== '') continue;
      try {
        const taken = await sendOne(photo);
        if (taken.mended) app.say(t('photo-mended', { name: photo.name }));
        if (taken.known) continue;
        // One way back for all that came to a site together.
        there.push({ site: photo.site, id: taken.event });
        saidSo({ how: 'saved', errors: [] }, photo.site, there.filter((p) => p.site === photo.site).map((p) => p.id));
      } catch (e) {
        // One that cannot be taken does not stop the others.
        if (!(e instanceof ApiError) || ![404, 413, 415, 422].includes(e.status)) throw e;
        await outbox.photoRefused(photo.id, e.message);
      } finally {
        app.going = null;
        await count();
      }
    }
  });
}

async function sendOne(photo: LocalPhoto): Promise<PhotoTaken> {
  const bytes = await outbox.bytes(photo.id);
  if (!bytes) throw new ApiError(422, 'gone', t('photo-gone'));
  const upload = `/api/uploads/${photo.id}`;
  app.going = { id: photo.id, share: 0 };
  let have = await told(await call(upload));
  while (have < bytes.byteLength) {
    app.going = { id: photo.id, share: have / bytes.byteLength };
    const answer = await call(`${upload}?offset=${have}`, { method: 'PUT', body: bytes.slice(have, have + PIECE) }, PATIENCE);
    const before = have;
    have = await told(answer);
    if (have === before) throw new ApiError(0, 'stuck', t('error-http', { status: answer.status }));
  }
  app.going = { id: photo.id, share: 1 };
  const q = new URLSearchParams({ name: photo.name, by: photo.by, id: photo.id, at_ms: String(Math.round(photo.at_ms)), from: photo.id, bytes: String(bytes.byteLength) });
  if (photo.pour) q.set('pour', photo.pour);
  const answer = await call(`/api/sites/${encodeURIComponent(photo.site)}/photos?${q}`, { method: 'POST' });
  if (!answer.ok) throw await failure(answer);
  const taken = (await answer.json()) as PhotoTaken;
  await outbox.dropPhoto(photo.id);
  const said = [taken.said, taken.known && !taken.mended && taken.event !== photo.id ? t('photo-known') : '', ...taken.photo.problems].filter(Boolean).join(' · ');
  app.arrived = [...app.arrived.slice(-20), { id: photo.id, site: photo.site, pour: photo.pour, name: photo.name, said }];
  changed(photo.site);
  return taken;
}

/** How many bytes the hub has now. */
async function told(answer: Response): Promise<number> {
  if (answer.status === 409) {
    const have = Number((await failure(answer)).value);
    if (Number.isInteger(have)) return have;
  }
  if (!answer.ok) throw await failure(answer);
  return ((await answer.json()) as { bytes: number }).bytes;
}
