// Which signs a test on the concrete can give, from soft to hard: the pictures that the sheet
// "What happened" and the page of a pour show for it. The drawings: parts/SeenPicto.svelte.

import type { Observed, Test } from './types.gen';
import { find, t } from './words';

export const THUMB: readonly Observed[] = ['thumb_deep', 'thumb_6mm', 'thumb_faint', 'thumb_none'];
export const SCRATCH: readonly Observed[] = ['scratch_deep', 'scratch_faint', 'scratch_none'];

/** What each test may show; none where it is no look or touch, or takes a day. */
export const SIGNS: Partial<Record<Test, readonly Observed[]>> = {
  water: ['sheen_gone'],
  thumb: THUMB,
  scratch: SCRATCH,
};

/** What stands under the picture of a sign. */
export const short = (what: Observed): string => find(`did-${what}`) ?? t(`seen-${what}`);

/** Its name for who hears it: what stands there, and then the whole sentence. */
export function spoken(what: Observed): string {
  const sentence = t(`seen-${what}`);
  return short(what) === sentence ? sentence : `${short(what)}: ${sentence}`;
}
