// Sends the photos that wait on this phone, in pieces, after the entries: what was cut off
// goes on where the hub's part ends; and says where each went. Loaded when there is one to
// send. Keeping them is in outbox.ts, showing them in parts/WaitingPhoto.svelte.

import { app } from '../lib/app.svelte';
import { address } from '../lib/routes';
import type { PhotoTaken } from '../lib/routes.gen';
import { placeName } from '../lib/say';
import type { PhotoPlace } from '../lib/types.gen';
import { t } from '../lib/words';
import { ApiError, call, failure, send } from './hub';
import { alone, count, outbox } from './keep';
import type { LocalPhoto } from './outbox';
import { drain } from './send';
import { changed } from './signals';
import { kept, takeBack } from './write';

/** Bytes of a piece: the hub takes 1 MiB; half of it gets through where a signal is weak. */
const PIECE = 1 << 19;
/** Longest time for one piece, ms: 4 kB a second. */
const PATIENCE = 120_000;

/** Sends all photos that wait. Rejects when the hub is not reached or in trouble. */
export function sendPhotos(): Promise<void> {
  return alone('photos', async () => {
    // A photo may hang on an entry that is not sent yet.
    await drain(new Set());
    const there: { site: string; id: string; place: PhotoPlace }[] = [];
    for (const photo of await outbox.photos()) {
      if (photo.why !== '') continue;
      try {
        const taken = await sendOne(photo);
        if (taken.mended) app.say(t('photo-mended', { name: photo.name }));
        if (taken.known) continue;
        // One message and one way back for all that came to a site together.
        there.push({ site: photo.site, id: taken.event, place: taken.place });
        const all = there.filter((p) => p.site === photo.site);
        sayPlaces(
          photo.site,
          all.map((p) => p.id),
          all.map((p) => p.place),
          true,
        );
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

/** Says where photos went, with a way to file them elsewhere and a way back. */
function sayPlaces(site: string, ids: string[], places: PhotoPlace[], sent: boolean): void {
  const where = [...new Set(places.map(placeName))];
  // More than two would not be read in passing.
  const place = where.length > 2 ? t('photo-went-many', { n: where.length }) : where.join(' · ');
  const text = t('photo-went', { n: ids.length, place });
  const change = { text: t('photo-change'), act: () => void (app.placing = { site, photos: ids }) };
  app.say(sent ? text : `${kept()} ${text}`, !sent, sent ? () => void takeBack(site, ids) : null, change);
}

/** Says of photos that could not be sent now that they are kept, and where they will be. */
export async function sayWaiting(site: string, ids: string[]): Promise<void> {
  const waiting = (await outbox.photos()).filter((p) => ids.includes(p.id) && p.why === '');
  if (waiting.length === 0) return;
  try {
    const { placeToBe } = await import('./reckon');
    const places = await Promise.all(waiting.map(placeToBe));
    sayPlaces(
      site,
      waiting.map((p) => p.id),
      places,
      false,
    );
  } catch {
    // This phone does not know the site yet: the hub will file them.
    app.say(kept(), true);
  }
}

async function sendOne(photo: LocalPhoto): Promise<PhotoTaken> {
  const bytes = await outbox.bytes(photo.id);
  if (!bytes) throw new ApiError(422, 'gone', t('photo-gone'));
  app.going = { id: photo.id, share: 0 };
  let have = await arrived(await call(address('GET /api/uploads/{id}', { id: photo.id })));
  while (have < bytes.byteLength) {
    app.going = { id: photo.id, share: have / bytes.byteLength };
    const answer = await call(
      address('PUT /api/uploads/{id}', { id: photo.id, offset: have }),
      { method: 'PUT', body: bytes.slice(have, have + PIECE) },
      PATIENCE,
    );
    const before = have;
    have = await arrived(answer);
    if (have === before) throw new ApiError(0, 'stuck', t('error-http', { status: answer.status }));
  }
  app.going = { id: photo.id, share: 1 };
  const { site, name, by, id, pour, step, stage } = photo;
  const params = {
    site,
    name,
    by,
    id,
    at_ms: Math.round(photo.at_ms),
    from: id,
    bytes: bytes.byteLength,
    ...(pour ? { pour } : {}),
    ...(step ? { step } : {}),
    ...(stage ? { stage } : {}),
  };
  // Its bytes are there already.
  const taken = await send('POST /api/sites/{site}/photos', { params, body: new Blob() });
  await outbox.dropPhoto(photo.id);
  const said = [
    taken.said,
    taken.known && !taken.mended && taken.event !== photo.id ? t('photo-known') : '',
    ...taken.photo.problems,
  ]
    .filter(Boolean)
    .join(' · ');
  app.arrived = [
    ...app.arrived.slice(-20),
    { id: photo.id, site: photo.site, pour: photo.pour, name: photo.name, said },
  ];
  changed(photo.site);
  return taken;
}

/** How many bytes the hub has now. */
async function arrived(answer: Response): Promise<number> {
  if (answer.status === 409) {
    const have = Number((await failure(answer)).value);
    if (Number.isInteger(have)) return have;
  }
  if (!answer.ok) throw await failure(answer);
  return ((await answer.json()) as { bytes: number }).bytes;
}
