// Views: of the hub, or of this phone when the hub is away or lacks what is only here.

import { untrack } from 'svelte';
import { app } from '../lib/app.svelte';
import { address, type IfAny, type Params, type Path, type View } from '../lib/routes';
import { t } from '../lib/words';
import { ApiError, PATIENCE, call, failure, isAway } from './hub';

/** What works without the hub; loaded when it is needed. */
const offline = (): Promise<typeof import('./view')> => import('./view');

/** A view: of the hub, or of this phone when the hub is away or lacks what is only here. */
export function get<P extends Path>(path: P, ...[params]: IfAny<Params<P>>): Promise<View<P>> {
  // Whoever asks in an effect wants one answer, not another whenever something is sent.
  return untrack(() => view(path, (params ?? {}) as Params<P>));
}

async function view<P extends Path>(path: P, params: Params<P>): Promise<View<P>> {
  let why = new ApiError(0, 'unreachable', t('error-unreachable'));
  const { site } = params as { site?: string };
  if (site !== undefined && app.unsent.has(site)) {
    try {
      return await (await offline()).view(path, params, why);
    } catch {
      // This phone cannot tell: then the hub, as far as it knows.
    }
  }
  try {
    const at = address(`GET ${path}`, params);
    const answer = await call(at, undefined, app.reached ? PATIENCE.view : PATIENCE.gone);
    if (!answer.ok) throw await failure(answer);
    const data = (await answer.json()) as View<P>;
    const nowMs = (data as { now_ms?: unknown }).now_ms;
    if (typeof nowMs === 'number') app.heard(nowMs);
    return data;
  } catch (e) {
    why = e instanceof ApiError ? e : why;
    if (!isAway(why)) throw why;
  }
  return (await offline()).view(path, params, why);
}
