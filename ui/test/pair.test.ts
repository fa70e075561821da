// The phone's half of pairing. The worked code is that of hub/src/trust/pairing.rs, reckoned
// there with coreutils.
import { describe, expect, it } from 'vitest';
import { matchCode, nonce, offerIn } from '../src/lib/pair';

describe('pairing', () => {
  it('shows the code that the hub shows', async () => {
    expect(await matchCode('s', 'h', 'p', 'f', 'n')).toBe('176980');
    expect(await matchCode('s', 'h', 'p', 'F', 'n')).not.toBe('176980');
  });
  it('reads an offer and nothing else', () => {
    const [secret, print] = ['0123456789abcdefghjkmnpqrs', 'A'.repeat(43)];
    expect(offerIn(`#${secret}.${print}`)).toEqual({ secret, print });
    for (const bad of ['', '#', `#${secret}`, `#${secret}.${print}x`, `#${secret} .${print}`])
      expect(offerIn(bad)).toBeNull();
  });
  it('throws in something new each time', () => {
    expect(nonce()).toMatch(/^[0-9a-v]{26}$/);
    expect(nonce()).not.toBe(nonce());
  });
});
