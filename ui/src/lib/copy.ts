// "Save a copy": everything that is only on this phone in one file of JSON lines, which the
// hub takes in (`POST /api/import`, hub/src/api/import.rs). Nothing is taken off the phone
// by it, and sending the same things later changes nothing. Loaded when it is asked for.

import { changed, outbox, send } from './api';
import type { Imported } from './routes.gen';

const line = (x: unknown): string => `${JSON.stringify(x)}\n`;

/** Bytes in base 64; the browser's own way is the fastest. */
function base64(bytes: ArrayBuffer): Promise<string> {
  return new Promise((done, fail) => {
    const reader = new FileReader();
    reader.onload = () => done(String(reader.result).replace(/^[^,]*,/, ''));
    reader.onerror = () => fail(reader.error ?? new Error('FileReader'));
    reader.readAsDataURL(new Blob([bytes]));
  });
}

/** The file, and how much is in it. */
export async function copy(): Promise<{ file: Blob; events: number; photos: number }> {
  const events = [...(await outbox.everything()), ...(await outbox.refused()).map((r) => r.event)];
  const photos = await outbox.everyPhoto();
  const parts: (string | Blob)[] = [line({ slowstone: 'copy', form: 1, saved_ms: Date.now() })];
  for (const event of events) parts.push(line({ event }));
  let saved = 0;
  for (const { id, site, pour, step, stage, name, type, by, at_ms } of photos) {
    const bytes = await outbox.bytes(id);
    if (!bytes) continue;
    saved += 1;
    // A Blob of its own, so that the text of many photos is not in memory at once.
    parts.push(
      new Blob([
        line({
          photo: { id, site, pour, step, stage, name, type, by, at_ms: Math.round(at_ms), base64: await base64(bytes) },
        }),
      ]),
    );
  }
  parts.push(line({ end: { events: events.length, photos: saved } }));
  return { file: new Blob(parts, { type: 'application/jsonl' }), events: events.length, photos: saved };
}

/** Hands the file to the person. */
export async function saveCopy(): Promise<void> {
  const { file } = await copy();
  const a = document.createElement('a');
  a.href = URL.createObjectURL(file);
  a.download = `slowstone-${new Date().toISOString().slice(0, 16).replace(/[:T]/g, '-')}.jsonl`;
  a.click();
  setTimeout(() => URL.revokeObjectURL(a.href), 60_000);
}

/** Has the hub take in a file that some phone saved. */
export async function importCopy(file: File): Promise<Imported> {
  const taken = await send('POST /api/import', { body: file }, 600_000);
  changed('');
  return taken;
}
