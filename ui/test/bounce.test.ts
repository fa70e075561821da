import { describe, expect, it } from 'vitest';
import { isEcho, type Before, type Tap } from '../src/lib/bounce';

const [first, other] = [new EventTarget(), new EventTarget()];
const tap = (more: Partial<Tap>): Tap => ({ x: 100, y: 700, at: 1000, on: first, says: 'Log', ...more });
const before = (more: Partial<Before> = {}): Before => ({
  ...tap({}),
  around: new Map([[first, { left: 60, top: 670, right: 120, bottom: 730 }]]),
  changed: 1000,
  swallowed: 0,
  ...more,
});
/** It stood beside the first one: the next picture of a row. */
const neighbour = { around: new Map([[other, { left: 120, top: 670, right: 180, bottom: 730 }]]) };

describe('the second tap of a wet glove', () => {
  it('is swallowed where something else has come under it', () =>
    expect(isEcho(tap({ at: 1200, x: 104, on: other }), before())).toBe(true));
  it('is swallowed where something has moved under it', () =>
    expect(isEcho(tap({ at: 1200, x: 104, on: other }), before(neighbour))).toBe(true));
  it('is swallowed where the same button has come to say another thing', () =>
    expect(isEcho(tap({ at: 1200, says: 'Form is off' }), before())).toBe(true));
  it('is swallowed when somebody waits, taps once more, and a slow sheet has come just before', () =>
    expect(isEcho(tap({ at: 2450, on: other }), before({ changed: 2300 }))).toBe(true));
});

describe('a tap that is meant', () => {
  it('is let through on the very same button: minus and plus', () =>
    expect(isEcho(tap({ at: 1120 }), before())).toBe(false));
  it('is let through on the neighbour, however near and fast', () =>
    expect(isEcho(tap({ at: 1150, x: 122, on: other }), before(neighbour))).toBe(false));
  it('is let through elsewhere: a choice, then the main button', () =>
    expect(isEcho(tap({ at: 1150, y: 600, on: other }), before())).toBe(false));
  it('is let through later, when what came has been there for a while', () =>
    expect(isEcho(tap({ at: 1700, on: other }), before({ changed: 1100 }))).toBe(false));
  it('is let through when somebody goes on tapping', () =>
    expect(isEcho(tap({ at: 1200, on: other }), before({ swallowed: 3 }))).toBe(false));
  it('is let through without one before', () => expect(isEcho(tap({}), null)).toBe(false));
});
