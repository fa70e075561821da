// Rectangles on a photo: made by dragging, moved, resized and kept inside. Pure; in pixels
// of the photo as displayed, `[x0, y0, x1, y1]` with the last column and row left out.

export type Rect = [number, number, number, number];
export interface Size {
  width: number;
  height: number;
}

/** Shortest side that can be measured, pixels (the hub asks for 10). */
const LEAST = 12;
const between = (x: number, low: number, high: number): number => Math.max(low, Math.min(high, x));

/** The rectangle between two points. */
export function drawn(x0: number, y0: number, x1: number, y1: number, in_: Size): Rect {
  const [l, r] = side(x0, x1, in_.width);
  const [u, d] = side(y0, y1, in_.height);
  return [l, u, r, d];
}

function side(a: number, b: number, most: number): [number, number] {
  const low = between(Math.round(Math.min(a, b)), 0, most - LEAST);
  return [low, between(Math.round(Math.max(a, b)), low + LEAST, most)];
}

/** Moved by so much, but not out of the picture. */
export function moved([x0, y0, x1, y1]: Rect, dx: number, dy: number, in_: Size): Rect {
  const x = between(Math.round(x0 + dx), 0, in_.width - (x1 - x0));
  const y = between(Math.round(y0 + dy), 0, in_.height - (y1 - y0));
  return [x, y, x + x1 - x0, y + y1 - y0];
}

/** Larger (or smaller) by so much on every side. */
export const grown = ([x0, y0, x1, y1]: Rect, by: number, in_: Size): Rect => {
  const [w, h] = [Math.max(x1 - x0 + 2 * by, LEAST), Math.max(y1 - y0 + 2 * by, LEAST)];
  const [cx, cy] = [(x0 + x1) / 2, (y0 + y1) / 2];
  return drawn(cx - w / 2, cy - h / 2, cx + w / 2, cy + h / 2, in_);
};

export const inside = ([x0, y0, x1, y1]: Rect, x: number, y: number): boolean => x >= x0 && x < x1 && y >= y0 && y < y1;

/** The corner opposite to the one near a point; null if none is near. */
export function opposite([x0, y0, x1, y1]: Rect, x: number, y: number, near: number): [number, number] | null {
  // A small rectangle would be all corner, and could not be moved.
  const reach = Math.min(near, (x1 - x0) / 3, (y1 - y0) / 3);
  for (const [cx, ox] of [
    [x0, x1],
    [x1, x0],
  ] as const) {
    for (const [cy, oy] of [
      [y0, y1],
      [y1, y0],
    ] as const) {
      if (Math.hypot(x - cx, y - cy) <= reach) return [ox, oy];
    }
  }
  return null;
}
