// The phone's half of pairing: what it throws in, and the code that both screens show. The
// hub's half is hub/src/trust/pairing.rs; the same worked code stands in both tests.

/** What the QR code carries behind the `#` of its address. */
export interface Offer {
  secret: string;
  /** Fingerprint of the hub's certificate, as the hub's own screen gave it. */
  print: string;
}

/** Reads what stands behind the `#`; null if it is no offer. */
export function offerIn(hash: string): Offer | null {
  const m = /^#?([0-9a-z]{26})\.([\w-]{43})$/.exec(hash);
  return m ? { secret: m[1] ?? '', print: m[2] ?? '' } : null;
}

/** 26 random characters. */
export function nonce(): string {
  return [...crypto.getRandomValues(new Uint8Array(26))].map((b) => (b & 31).toString(32)).join('');
}

/** Six digits that hang on everything that both sides know. */
export async function matchCode(
  secret: string,
  hub: string,
  phone: string,
  print: string,
  name: string,
): Promise<string> {
  const text = ['slowstone pairing 1', secret, hub, phone, print, name].join('\n');
  const hash = new DataView(await crypto.subtle.digest('SHA-256', new TextEncoder().encode(text)));
  return String(hash.getUint32(0) % 1_000_000).padStart(6, '0');
}

/**
 * Whether this browser trusts the hub's certificate by itself. With a warning that was
 * clicked away a page loads, but no service worker does, and somebody may be in between.
 */
export async function isTrusted(): Promise<boolean> {
  const workers = (navigator as { serviceWorker?: ServiceWorkerContainer }).serviceWorker;
  if (!globalThis.isSecureContext || !crypto.subtle) return false;
  if (!workers || !import.meta.env.PROD) return true;
  try {
    await workers.register('/sw.js', { updateViaCache: 'none' });
    return true;
  } catch {
    return false;
  }
}
