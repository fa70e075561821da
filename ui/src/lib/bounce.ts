// The second tap of a wet glove: it comes within half a second, on the same spot, when the
// screen under it has changed already. It was meant for what stood there before, so it does
// nothing. Keys and clicks that a program makes are left alone, and so is a second tap on the
// very same button: minus and plus are tapped fast. Who typed something between two taps meant
// both.

/** Longer apart than this two taps are two (double clicks end at half a second everywhere). */
const WITHIN_MS = 500;
/** The spot of one finger, px. */
const SPOT = 32;

export interface Tap {
  x: number;
  y: number;
  at: number;
  on: EventTarget | null;
}

/** Whether a tap is the echo of the one before. */
export function isEcho(tap: Tap, before: Tap | null): boolean {
  if (!before || tap.on === before.on || tap.at - before.at > WITHIN_MS) return false;
  return Math.hypot(tap.x - before.x, tap.y - before.y) <= SPOT;
}

/** From now on such taps are swallowed everywhere. */
export function swallowEchoes(page: Document): void {
  let before: Tap | null = null;
  page.addEventListener(
    'click',
    (e) => {
      // Of a key, or of a label that passes its click on to its field.
      if (e.detail === 0) return;
      const on =
        e.target instanceof Element
          ? (e.target.closest('button, a, label, summary, input, select, textarea') ?? e.target)
          : e.target;
      const tap = { x: e.clientX, y: e.clientY, at: e.timeStamp, on };
      const echo = isEcho(tap, before);
      // Whatever lies there, a third tap soon after is no better.
      before = echo && before ? { ...before, at: tap.at } : tap;
      if (!echo) return;
      e.preventDefault();
      e.stopImmediatePropagation();
    },
    true,
  );
  page.addEventListener('input', () => (before = null), true);
}
