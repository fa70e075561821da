// The act in the bar of a pour: the one thing to do now, or the test that decides it. What it
// logs, or what it opens. The answer itself comes from the core (PourCard.act).

import type { MilestoneKind, Observed, PourCard, Test } from './types.gen';

export interface Act {
  kind: MilestoneKind;
  /** The words of the button: `act-…`. */
  words: string;
  /** Logged at once by one tap, with a way back. */
  log?: Observed;
  /** The sheet opens, with this marked: there is more than one way in which it went. */
  mark?: Observed | null;
  /** Another pour is logged. */
  pour?: true;
}

const DOING: Partial<Record<MilestoneKind, Omit<Act, 'kind' | 'words'>>> = {
  texture: { log: 'textured' },
  form_off: { mark: 'stripped_clean' },
  dress: { mark: 'dressed_easily' },
  curing_ends: { log: 'curing_ended' },
  seal: { log: 'sealed' },
  next_step: { pour: true },
};
/** Tests that are done in a moment and logged by a picture. */
const QUICK: readonly Test[] = ['water', 'thumb', 'scratch'];

/** What the bar offers now; none where there is only to wait. */
export function actOf(card: PourCard): Act | null {
  const { says, kind } = card.head;
  if (kind === null || says === 'phase') return null;
  const test = card.act?.kind === kind ? card.act.test : null;
  if (says === 'try') return test && QUICK.includes(test) ? { kind, words: `act-test-${test}`, mark: null } : null;
  const doing = DOING[kind];
  return doing ? { kind, words: `act-${kind}`, ...doing } : null;
}
