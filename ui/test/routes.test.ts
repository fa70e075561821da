// Addresses as the list of routes has them.
import { describe, expect, it } from 'vitest';
import { address } from '../src/lib/routes';

describe('addresses', () => {
  it('have their names filled in and the rest behind the question mark', () => {
    expect(address('GET /api/sites', {})).toBe('/api/sites');
    expect(address('GET /api/sites/{site}/pours/{pour}', { site: 'a/b', pour: 'ä' })).toBe(
      '/api/sites/a%2Fb/pours/%C3%A4',
    );
    expect(address('GET /api/sites/{site}/dose', { site: 's', additive: 'x,y', mix: 'm&n' })).toBe(
      '/api/sites/s/dose?additive=x%2Cy&mix=m%26n',
    );
    expect(address('PUT /api/uploads/{id}', { id: 'u', offset: 0 })).toBe('/api/uploads/u?offset=0');
  });
});
