// The core in a thread of its own: takes questions in the order in which they come, each
// with a number, and answers under the same number. The page's side is reckoner.ts.

import { loadCore } from './core';

/** What the page sends. */
export interface Asked {
  n: number;
  question: object;
}
/** What it gets back: an answer, or why there is none. */
export interface Answered {
  n: number;
  answer?: unknown;
  trouble?: string;
}

const core = loadCore();

addEventListener('message', ({ data }: MessageEvent<Asked>) => {
  const answer = (said: Omit<Answered, 'n'>): void => postMessage({ n: data.n, ...said } satisfies Answered);
  core
    .then((it) => it.ask(data.question))
    .then(
      (it) => answer({ answer: it }),
      (e: unknown) => answer({ trouble: e instanceof Error ? e.message : String(e) }),
    );
});
