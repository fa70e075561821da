// Sends what waits on this phone, as batches of its own stream (`POST /api/streams`,
// hub/src/api/streams.rs). What follows from the answers is in stream.ts. Loaded when there is
// something to send.

import type { BatchReceived, StreamBatch } from '../lib/routes.gen';
import type { EventError } from '../lib/types.gen';
import { t } from '../lib/words';
import { meet } from './fetch';
import { ApiError, send } from './hub';
import { alone, count, outbox, stream } from './keep';
import { forget } from './reckon';

/** Answers in a row by which nothing got any further, before it is called odd. */
const PATIENCE = 8;

let running: Promise<unknown> = Promise.resolve();

/**
 * Sends what waits; `mine` are entries whose refusal somebody waits for. Returns refusals;
 * rejects when the hub is not reached or in trouble.
 */
export function drain(mine: Set<string>): Promise<EventError[]> {
  const turn = running.then(() => alone('events', () => sendAll(mine)));
  running = turn.catch(() => undefined);
  return turn;
}

async function sendAll(mine: Set<string>): Promise<EventError[]> {
  await meet();
  if ((await outbox.all()).length === 0) return [];
  const told: EventError[] = [];
  let still = 0;
  for (let batch = await stream.batch(); batch; batch = await stream.batch()) {
    const receipt = await send('POST /api/streams', { body: batch }).catch((e: unknown) => otherDevice(e, batch));
    const lost = await stream.heard(batch, receipt);
    still = receipt.accepted > 0 || lost.length > 0 ? 0 : still + 1;
    if (still > PATIENCE) throw new ApiError(200, 'odd', t('error-http', { status: 200 }));
    const { why } = receipt;
    if (lost.length > 0 && why) {
      const error = { ...why, event: lost[0]?.id ?? '' };
      await outbox.setAside(lost.filter((e) => !mine.has(e.id)).map((event) => ({ event, error })));
      if (mine.has(error.event)) told.push(error);
      // What the hub refused must not live on in what this phone reckons with.
      forget();
    }
    await count();
  }
  return told;
}

/** A stream that this device may not write any more, since it was paired: written anew. */
function otherDevice(e: unknown, batch: StreamBatch): BatchReceived {
  if (e instanceof ApiError && e.code === 'other_device') return { head: null, accepted: 0, fork: batch.from };
  throw e;
}
