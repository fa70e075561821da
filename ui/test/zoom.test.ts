// A picture enlarged under two fingers stays under them, and never leaves a gap.
import { describe, expect, it } from 'vitest';
import { fitted, MOST, swiped, WHOLE, within, zoomed } from '../src/lib/zoom';

const box = { width: 400, height: 800 };
const picture = { width: 4000, height: 3000 };

describe('zoom', () => {
  it('keeps what is under the finger', () => {
    // The point 100 px right of the middle shows the picture's point (100 - x) / scale.
    const one = zoomed({ scale: 1.5, x: 20, y: -10 }, 2, 100, 50);
    expect(one.scale).toBe(3);
    expect((100 - one.x) / one.scale).toBeCloseTo((100 - 20) / 1.5, 9);
    expect((50 - one.y) / one.scale).toBeCloseTo((50 + 10) / 1.5, 9);
  });
  it('stays between the whole and the most', () => {
    expect(zoomed(WHOLE, 0.2).scale).toBe(1);
    expect(zoomed(WHOLE, 99).scale).toBe(MOST);
  });
  it('fills the box where it can', () => {
    expect(fitted(picture, box)).toEqual({ width: 400, height: 300 });
    // Whole: no room to move. Three times: 1200 x 900 in 400 x 800.
    expect(within({ scale: 1, x: 90, y: 90 }, picture, box)).toEqual(WHOLE);
    expect(within({ scale: 3, x: 999, y: -999 }, picture, box)).toEqual({ scale: 3, x: 400, y: -50 });
    expect(within({ scale: 3, x: 12, y: 3 }, picture, box)).toEqual({ scale: 3, x: 12, y: 3 });
  });
  it('a picture without a size fills the box', () => {
    expect(fitted({ width: 0, height: 0 }, box)).toEqual(box);
  });
  it('knows a swipe from a tap', () => {
    expect(swiped(-80, 10)).toBe('left');
    expect(swiped(80, -10)).toBe('right');
    expect(swiped(5, -90)).toBe('up');
    expect(swiped(5, 90)).toBe('down');
    expect(swiped(20, 3)).toBeNull();
    expect(swiped(70, 60)).toBeNull();
  });
});
