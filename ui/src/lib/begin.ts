// What a site begins with when nothing else was said: a flight of steps of one size, a mix
// and a form, all of which can be changed later. And the shortest way to a first pour, where
// there is no site yet. Used by screens/Start.svelte and screens/Sites.svelte, loaded then.

import { freshId, log, type Draft } from './api';
import { app } from './app.svelte';
import { go } from './router';
import { fresh } from './schema';
import type { SiteView, Units } from './types.gen';
import { t } from './words';

/** A step as it is usually cast, in metres. */
export const SIZE: Record<string, number> = { width_m: 1.2, depth_m: 0.45, rise_m: 0.16 };
/** How many steps are set up when nobody said a number. */
const STEPS = 5;

/** A bag of plain concrete. */
export const usualMix = (): Record<string, unknown> => ({ ...fresh('mix', 0), name: t('start-mix-name') });

/** `n` steps of one size, and what the site lacks of a flight, a mix and a form. */
export function made(site: SiteView | null, n: number, size = SIZE, mix = usualMix()): Draft[] {
  const flight = site?.flights[0]?.id ?? freshId();
  const drafts: Draft[] = site?.flights.length
    ? []
    : [{ id: flight, kind: 'flight', body: { name: t('start-flight'), note: '' } }];
  for (let i = 1; i <= n; i++) {
    drafts.push({ kind: 'step', body: { flight, number: i, name: '', ...size, on_step_below: i > 1 } });
  }
  if (!site?.mixes.length) drafts.push({ kind: 'mix', body: mix });
  if (!site?.forms.length)
    drafts.push({ kind: 'form', body: { name: t('start-form-name'), material: 'timber', board_mm: 38 } });
  return drafts;
}

/** Begins a site as sites usually are and opens the form of its first pour. */
export async function pourFirst(tz: string, units: Units): Promise<void> {
  const site = freshId();
  const sent = await log(site, [
    { id: site, site, kind: 'site', body: { name: t('site-first-name'), place: '', tz, units } },
    ...made(null, STEPS),
  ]);
  if (sent?.how === 'refused') {
    const { line } = await import('./refusal');
    for (const e of sent.errors) app.say(line(e, units), true);
  }
  if (sent && sent.how !== 'refused') go({ at: 'log', site, step: null });
}
