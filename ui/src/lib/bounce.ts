// The second tap of a wet glove, or of somebody who waits and taps once more: it lands where the
// screen has just changed under the finger, and was meant for what stood there before, so it
// does nothing. Only what changed counts. A tap on something that stood under that very point
// before is meant, however fast it comes: minus and plus, one picture after its neighbour, a
// choice and then the main button. So is a tap after something was typed. Keys and clicks that a
// program makes are left alone.

/** Longer apart than this two taps are two (double clicks end at half a second everywhere). */
const WITHIN_MS = 500;
/** Nobody sees what has come, decides and taps it within this time (choice reactions take 350 ms and more). */
const FRESH_MS = 300;
/** How long it is watched whether something comes under the finger, a slow sheet for example. */
const WATCHED_MS = 1_500;
/** The spot of one finger, px. */
const SPOT = 32;
/** So many in a row are an accident; whoever goes on means it. */
const MOST = 3;

export interface Tap {
  x: number;
  y: number;
  at: number;
  /** What is pressed there. */
  on: EventTarget | null;
  /** What that says at the moment of the tap: one element may come to mean another thing. */
  says: string;
}
interface Box {
  left: number;
  top: number;
  right: number;
  bottom: number;
}
/** A tap that was let through, and what stood around it then. */
export interface Before extends Tap {
  around: Map<EventTarget, Box>;
  /** When something else came under the finger last; the time of the tap if nothing did. */
  changed: number;
  /** How many taps after it were swallowed. */
  swallowed: number;
}

/** Whether a tap was meant for what stood there before. */
export function isEcho(tap: Tap, before: Before | null): boolean {
  if (!before || before.swallowed >= MOST) return false;
  if (Math.hypot(tap.x - before.x, tap.y - before.y) > SPOT) return false;
  if (tap.at - before.at > WITHIN_MS && tap.at - before.changed > FRESH_MS) return false;
  if (tap.on === before.on) return tap.says !== before.says;
  const was = tap.on && before.around.get(tap.on);
  return !(was && tap.x >= was.left && tap.x <= was.right && tap.y >= was.top && tap.y <= was.bottom);
}

/** What a tap there presses: the button, not the picture in it. */
const pressed = (e: Element | null): Element | null =>
  e?.closest('button, a, label, summary, input, select, textarea') ?? e;

const says = (e: EventTarget | null): string =>
  e instanceof Element ? [e.textContent, e.getAttribute('aria-label'), e.getAttribute('href')].join('\n') : '';

/** What is pressed around a spot, and where it stands. */
function around(page: Document, x: number, y: number): Map<EventTarget, Box> {
  const found = new Map<EventTarget, Box>();
  for (let dx = -SPOT; dx <= SPOT; dx += SPOT / 2) {
    for (let dy = -SPOT; dy <= SPOT; dy += SPOT / 2) {
      const e = pressed(page.elementFromPoint(x + dx, y + dy));
      if (e && !found.has(e)) found.set(e, e.getBoundingClientRect());
    }
  }
  return found;
}

/** From now on such taps are swallowed everywhere. */
export function swallowEchoes(page: Document): void {
  let before: Before | null = null;
  /** The clock of events, which no test and no program sets. */
  const now = (): number => new Event('time').timeStamp;

  /** Notes when something else comes under the finger. */
  function watch(of: Before): void {
    let last = pressed(page.elementFromPoint(of.x, of.y));
    let said = says(last);
    const look = (): void => {
      if (before !== of || now() - of.at > WATCHED_MS) return;
      const e = pressed(page.elementFromPoint(of.x, of.y));
      if (e !== last || says(e) !== said) {
        of.changed = now();
        last = e;
        said = says(e);
      }
      requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
  }

  page.addEventListener(
    'click',
    (e) => {
      // Of a key, or of a label that passes its click on to its field.
      if (e.detail === 0) return;
      const on = e.target instanceof Element ? pressed(e.target) : e.target;
      const tap = { x: e.clientX, y: e.clientY, at: e.timeStamp, on, says: says(on) };
      if (before && isEcho(tap, before)) {
        before.swallowed += 1;
        // A third tap soon after is no better than the second.
        before.at = tap.at;
        e.preventDefault();
        e.stopImmediatePropagation();
        return;
      }
      before = { ...tap, around: around(page, tap.x, tap.y), changed: tap.at, swallowed: 0 };
      watch(before);
    },
    true,
  );
  // A box that was ticked by a tap was not typed.
  page.addEventListener(
    'input',
    ({ target }) => {
      const ticked = target instanceof HTMLInputElement && ['checkbox', 'radio', 'range', 'file'].includes(target.type);
      if (!ticked && !(target instanceof HTMLSelectElement)) before = null;
    },
    true,
  );
}
