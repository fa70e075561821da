// How a picture lies in a box that shows it: how much enlarged, and moved by how much.
// Only geometry; gestures and keys are in Viewer.svelte.

/** Scale, and the shift of the picture's middle from the box's middle, CSS pixels. */
export interface Look {
  scale: number;
  x: number;
  y: number;
}

export interface Size {
  width: number;
  height: number;
}

/** The whole picture. */
export const WHOLE: Look = { scale: 1, x: 0, y: 0 };
/** More than this shows only the pixels of the file (common practice, no source). */
export const MOST = 8;

/** The size of a picture that just fits into a box. */
export function fitted(picture: Size, box: Size): Size {
  const by = Math.min(box.width / picture.width, box.height / picture.height);
  return Number.isFinite(by) ? { width: picture.width * by, height: picture.height * by } : box;
}

/** Enlarges so that what is under (px, py), from the box's middle, stays there. */
export function zoomed(look: Look, factor: number, px = 0, py = 0): Look {
  const scale = Math.min(MOST, Math.max(1, look.scale * factor));
  const by = scale / look.scale;
  return { scale, x: px - (px - look.x) * by, y: py - (py - look.y) * by };
}

/** Moves the picture back where it leaves a gap at an edge that it could fill. */
export function within(look: Look, picture: Size, box: Size): Look {
  const whole = fitted(picture, box);
  const hold = (shift: number, size: number, room: number): number => {
    const most = Math.max(0, (size * look.scale - room) / 2);
    return Math.min(most, Math.max(-most, shift));
  };
  return { scale: look.scale, x: hold(look.x, whole.width, box.width), y: hold(look.y, whole.height, box.height) };
}

/** Where a finger that went by (dx, dy) wants to go; none for a tap or a slanted way. */
export function swiped(dx: number, dy: number): 'left' | 'right' | 'up' | 'down' | null {
  const [wide, high] = [Math.abs(dx), Math.abs(dy)];
  if (Math.max(wide, high) < 50 || Math.min(wide, high) * 2 > Math.max(wide, high)) return null;
  if (wide > high) return dx < 0 ? 'left' : 'right';
  return dy < 0 ? 'up' : 'down';
}
