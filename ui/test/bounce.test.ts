import { describe, expect, it } from 'vitest';
import { isEcho, type Tap } from '../src/lib/bounce';

const [first, other] = [new EventTarget(), new EventTarget()];
const tap = (more: Partial<Tap>): Tap => ({ x: 100, y: 700, at: 1000, on: first, ...more });

describe('the second tap of a wet glove', () => {
  it('is swallowed where the screen has changed under it', () =>
    expect(isEcho(tap({ at: 1200, x: 104, on: other }), tap({}))).toBe(true));
  it('is none on the very same button', () => expect(isEcho(tap({ at: 1200 }), tap({}))).toBe(false));
  it('is none elsewhere', () => expect(isEcho(tap({ at: 1200, y: 600, on: other }), tap({}))).toBe(false));
  it('is none later', () => expect(isEcho(tap({ at: 1600, on: other }), tap({}))).toBe(false));
  it('is none without a first one', () => expect(isEcho(tap({}), null)).toBe(false));
});
