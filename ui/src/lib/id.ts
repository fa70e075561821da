// Names of events: 48 bits of time and 80 random bits, in lower-case Crockford base 32, so
// that ids made later sort later. Two ids of one millisecond count up and keep their order.

const DIGITS = '0123456789abcdefghjkmnpqrstvwxyz';

let lastMs = -1;
let lastTail: number[] = [];

/** A new id of 26 characters for the given time in ms. */
export function newId(
  ms: number,
  random: (bytes: Uint8Array) => void = (b) => crypto.getRandomValues(b as Uint8Array<ArrayBuffer>),
): string {
  const t = Math.max(0, Math.floor(ms));
  if (t === lastMs) {
    for (let i = lastTail.length - 1; i >= 0; i--) {
      const d = lastTail[i] ?? 0;
      if (d < 31) {
        lastTail[i] = d + 1;
        break;
      }
      lastTail[i] = 0;
    }
  } else {
    const bytes = new Uint8Array(16);
    random(bytes);
    lastTail = [...bytes].map((b) => b & 31);
    lastMs = t;
  }
  let head = '';
  let rest = t;
  for (let i = 0; i < 10; i++) {
    head = DIGITS.charAt(rest % 32) + head;
    rest = Math.floor(rest / 32);
  }
  return head + lastTail.map((d) => DIGITS.charAt(d)).join('');
}
