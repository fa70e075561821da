// Calls to the hub: the answer or why there is none, in words. The one place that fetches from
// it; what is kept and sent later is in send.ts, and screens ask through ../lib/api.ts.

import { app } from '../lib/app.svelte';
import { address, type Answer, type Given, type IfAny, type Route } from '../lib/routes';
import type { Misfit } from '../lib/types.gen';
import { find, t } from '../lib/words';

/** An answer that was no success. */
export class ApiError extends Error {
  constructor(
    readonly status: number,
    readonly code: string,
    text: string,
    readonly field = '',
    readonly value = '',
  ) {
    super(text);
  }
}

/** How long a person waits for the hub before this phone answers by itself, ms. */
export const PATIENCE = { view: 12_000, gone: 2_500, saving: 5_000, sending: 60_000 };

/** The hub cannot answer now: not reached, not let in, or something before it says so. */
export const isAway = (e: ApiError): boolean => [0, 401, 502, 503, 504].includes(e.status);

/** Asks the hub. Every answer of it, also a refusal, shows that it is there. */
export async function call(path: string, init?: RequestInit, patience = PATIENCE.sending): Promise<Response> {
  let answer: Response;
  try {
    answer = await fetch(path, { credentials: 'same-origin', signal: AbortSignal.timeout(patience), ...init });
  } catch {
    app.reached = false;
    throw new ApiError(0, 'unreachable', t('error-unreachable'));
  }
  app.reached = true;
  app.locked = answer.status === 401;
  return answer;
}

export async function failure(answer: Response): Promise<ApiError> {
  try {
    const { error } = (await answer.json()) as {
      error: { code: string; text: string; field?: string; value?: string; reason?: Misfit };
    };
    const { field = '', value = '', reason } = error;
    const said = reason
      ? (await import('../lib/refusal')).line({ field, value, reason })
      : find(`refused-${error.code}`, { value });
    return new ApiError(answer.status, error.code, said ?? error.text, field, value);
  } catch {
    return new ApiError(answer.status, 'http', t('error-http', { status: answer.status }));
  }
}

/** Has the hub do something at once. Nothing is kept for later when it is not reached. */
export async function send<R extends Route>(
  route: R,
  ...how: [...IfAny<Given<R>>, patience?: number]
): Promise<Answer<R>> {
  const [given, patience] = how as unknown as [{ params?: Record<string, never>; body?: unknown }?, number?];
  const { params = {}, body } = given ?? {};
  const bytes = body instanceof Blob || body instanceof ArrayBuffer;
  const sent = bytes ? { body } : { headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) };
  const method = route.slice(0, route.indexOf(' '));
  const answer = await call(address(route, params), { method, ...(body === undefined ? {} : sent) }, patience);
  if (!answer.ok) throw await failure(answer);
  return (await answer.json()) as Answer<R>;
}
