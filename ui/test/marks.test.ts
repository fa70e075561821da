// Rectangles on a photo stay inside it and large enough to be measured, whatever a thumb does.
import { describe, expect, it } from 'vitest';
import { drawn, grown, inside, moved, opposite, type Rect } from '../src/lib/marks';

const size = { width: 1200, height: 900 };

describe('a rectangle', () => {
  it('is drawn between two points in any direction', () => {
    expect(drawn(500, 400, 300, 200, size)).toEqual([300, 200, 500, 400]);
  });
  it('stays inside and large enough to be measured', () => {
    expect(drawn(-50, -20, 2000, 1000, size)).toEqual([0, 0, 1200, 900]);
    const [x0, y0, x1, y1] = drawn(1199, 899, 1199.4, 899, size);
    expect([x1, y1]).toEqual([1200, 900]);
    expect(Math.min(x1 - x0, y1 - y0)).toBeGreaterThanOrEqual(10);
  });
  it('keeps its size when it is moved against an edge', () => {
    expect(moved([10, 10, 110, 60], -500, 2000, size)).toEqual([0, 850, 100, 900]);
  });
  it('grows on every side and never shrinks to nothing', () => {
    expect(grown([100, 100, 200, 200], 10, size)).toEqual([90, 90, 210, 210]);
    const [x0, , x1] = grown([100, 100, 120, 120], -30, size);
    expect(x1 - x0).toBeGreaterThanOrEqual(10);
  });
  it('is resized by the corner that is near, or not at all', () => {
    const r: Rect = [100, 100, 300, 200];
    expect(opposite(r, 298, 103, 20)).toEqual([100, 200]);
    expect(opposite(r, 200, 150, 20)).toBeNull();
    expect(inside(r, 200, 150) && !inside(r, 300, 150)).toBe(true);
  });
});
