// Sends what waits on this phone, as batches of its own stream (`POST /api/streams`,
// hub/src/api/streams.rs). What follows from the answers is in sender.ts. Loaded when there
// is something to send or a hub to meet.

import { ApiError, call, count, failure, outbox } from './api';
import { Sender, type Answer } from './sender';
import type { Batch } from './streams';
import type { EventError } from './types.gen';
import { t } from './words';

/** Answers in a row by which nothing got any further, before it is called odd. */
const PATIENCE = 8;

export const sender = new Sender(outbox);

/** Sends all that waits; `mine` are entries whose refusal somebody waits for. */
export async function sendEvents(mine: Set<string>): Promise<EventError[]> {
  const told: EventError[] = [];
  let still = 0;
  for (let batch = await sender.batch(); batch; batch = await sender.batch()) {
    const answer = await call('/api/streams', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(batch),
    });
    const said = answer.ok ? ((await answer.json()) as Answer) : await otherDevice(answer, batch);
    const lost = await sender.heard(batch, said);
    still = said.accepted > 0 || lost.length > 0 ? 0 : still + 1;
    if (still > PATIENCE) throw new ApiError(answer.status, 'odd', t('error-http', { status: answer.status }));
    const { why } = said;
    if (lost.length > 0 && why) {
      const error = { ...why, event: lost[0]?.id ?? '' };
      await outbox.setAside(lost.filter((e) => !mine.has(e.id)).map((event) => ({ event, error })));
      if (mine.has(error.event)) told.push(error);
      // What the hub refused must not live on in what this phone reckons with.
      (await import('./offline')).forget();
    }
    await count();
  }
  return told;
}

/** A stream that this device may not write any more, since it was paired: written anew. */
async function otherDevice(answer: Response, batch: Batch): Promise<Answer> {
  const error = await failure(answer);
  if (error.code !== 'other_device') throw error;
  return { head: null, accepted: 0, fork: batch.from };
}
