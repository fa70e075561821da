// The page's side of the core beside it, with a thread that is played.
import { describe, expect, it } from 'vitest';
import type { Answered, Asked } from '../src/lib/core-worker';
import { reckonerOn, type Thread } from '../src/lib/reckoner';

function played() {
  const asked: Asked[] = [];
  const heard: Record<string, (e: { data?: Answered }) => void> = {};
  const state = { ended: false };
  const thread = {
    postMessage: (question: Asked) => void asked.push(question),
    addEventListener: (type: string, f: (e: { data?: Answered }) => void) => void (heard[type] = f),
    terminate: () => void (state.ended = true),
  } as unknown as Thread;
  return {
    asked,
    state,
    reckoner: reckonerOn(thread),
    say: (data: Answered) => heard['message']?.({ data }),
    breakOff: () => heard['error']?.({}),
  };
}

describe('the core beside the page', () => {
  it('gives each question its own answer, in whatever order they come', async () => {
    const { asked, reckoner, say } = played();
    const [one, two] = [reckoner.ask({ op: 'sites' }), reckoner.ask({ op: 'site' })];
    expect(asked.map((a) => a.question)).toEqual([{ op: 'sites' }, { op: 'site' }]);
    say({ n: asked[1]?.n ?? 0, answer: 'second' });
    say({ n: asked[0]?.n ?? 0, answer: null });
    expect(await Promise.all([one, two])).toEqual([null, 'second']);
  });
  it('passes on why there is no answer', async () => {
    const { asked, reckoner, say } = played();
    const one = reckoner.ask({ op: 'odd' });
    say({ n: asked[0]?.n ?? 0, trouble: 'ask: odd' });
    await expect(one).rejects.toThrow('ask: odd');
  });
  it('asks nothing where there is nothing to tell', async () => {
    const { asked, reckoner } = played();
    await reckoner.add([]);
    expect(asked).toEqual([]);
  });
  it('leaves nobody waiting when the thread breaks off', async () => {
    const { reckoner, breakOff } = played();
    const one = reckoner.ask({ op: 'sites' });
    breakOff();
    await expect(one).rejects.toThrow('ended');
  });
  it('answers what it was asked before it ends', async () => {
    const { asked, state, reckoner, say } = played();
    const one = reckoner.ask({ op: 'sites' });
    reckoner.end();
    expect(state.ended).toBe(false);
    say({ n: asked[0]?.n ?? 0, answer: [] });
    expect(await one).toEqual([]);
    expect(state.ended).toBe(true);
  });
});
