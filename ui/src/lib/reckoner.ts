// The core beside the page: it reckons for seconds where a site has many pours, and the page
// goes on answering meanwhile. The thread itself is core-worker.ts; what it is asked is in
// ../log/view.ts.

import type { Answered, Asked } from './core-worker';
import type { Event } from './types.gen';

/** A core in another thread, with what it was told so far. */
export interface Reckoner {
  /** Asks; rejects with the core's own words when it refuses. */
  ask<T>(question: object): Promise<T>;
  /** Tells it events; those that it knows already change nothing. */
  add(events: Event[]): Promise<void>;
  /** Ends it as soon as it has answered what it was asked. */
  end(): void;
}

/** As far as it is used of a `Worker`. */
export type Thread = Pick<Worker, 'postMessage' | 'addEventListener' | 'terminate'>;

/** A thread with a core that knows nothing yet. */
export const newThread = (): Thread => new Worker(new URL('./core-worker.ts', import.meta.url), { type: 'module' });

/** The page's side of a thread. */
export function reckonerOn(thread: Thread): Reckoner {
  const waiting = new Map<number, (said: Answered) => void>();
  let [asked, ended] = [0, false];
  const heard = (said: Answered): void => {
    waiting.get(said.n)?.(said);
    waiting.delete(said.n);
    if (ended && waiting.size === 0) thread.terminate();
  };
  thread.addEventListener('message', (e) => heard((e as MessageEvent<Answered>).data));
  // It could not be loaded, or broke off: nothing that it was asked will be answered.
  thread.addEventListener('error', () => {
    for (const n of [...waiting.keys()]) heard({ n, trouble: 'the core ended' });
  });
  const ask = <T>(question: object): Promise<T> =>
    new Promise((done, fail) => {
      asked += 1;
      waiting.set(asked, ({ answer, trouble }) =>
        trouble === undefined ? done(answer as T) : fail(new Error(trouble)),
      );
      thread.postMessage({ n: asked, question } satisfies Asked);
    });
  return {
    ask,
    add: async (events) => {
      if (events.length > 0) await ask({ op: 'add', events });
    },
    end: () => {
      ended = true;
      if (waiting.size === 0) thread.terminate();
    },
  };
}
