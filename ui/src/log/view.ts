// Views from this phone, when the hub is away or lacks what is only here: the same core as the
// hub's answers (reckon.ts). Loaded when it is needed.

import { app } from '../lib/app.svelte';
import type { Params, Path, View } from '../lib/routes';
import { t } from '../lib/words';
import { cursorOf, pull, type Cursor } from './fetch';
import { ApiError } from './hub';
import { shelf } from './keep';
import { ready } from './reckon';

/** The question to the core that a view is the answer to; null if only the hub has it. */
function question(
  path: Path,
  params: { site?: string; pour?: string; record?: string },
): Record<string, unknown> | null {
  const { site, pour, record } = params;
  const now_ms = Math.round(app.clock());
  switch (path) {
    case '/api/sites':
      return { op: 'sites' };
    case '/api/sites/{site}':
      return { op: 'site', site, now_ms };
    case '/api/sites/{site}/photos':
      return { op: 'photos', site, now_ms };
    case '/api/sites/{site}/pours/{pour}':
      return { op: 'pour', site, pour, now_ms };
    case '/api/sites/{site}/history/{record}':
      return { op: 'history', site, record };
    default:
      return null;
  }
}

/** A view from this phone; `why` is thrown when it knows nothing of it. */
export async function view<P extends Path>(path: P, params: Params<P>, why: ApiError): Promise<View<P>> {
  const ask = question(path, params as { site?: string });
  if (!ask) throw new ApiError(0, 'offline', t('error-needs-hub'));
  const site = typeof ask['site'] === 'string' ? ask['site'] : '';
  // With the hub there, only what is not sent yet is missing from its answers.
  if (site && app.reached && !app.locked) await pull(site).catch(() => undefined);
  const cursor = await (await shelf).get<Cursor>('meta', cursorOf(site));
  if (cursor && !cursor.whole) throw why;
  const made = await ready().catch(() => {
    throw new ApiError(0, 'core', t('error-core'));
  });
  const answer = await made.ask<View<P> | null>(ask);
  if (answer !== null && !(site && Array.isArray(answer) && answer.length === 0)) return answer;
  // A site that is known, but not this in it: it was taken back, or never was.
  if (ask['op'] !== 'site' && (await made.ask({ op: 'site', site, now_ms: 0 })) !== null)
    throw new ApiError(404, 'missing', t('state-gone'));
  throw why;
}
