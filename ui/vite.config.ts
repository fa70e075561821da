// Build of the web app: one page, hashed assets, nothing from outside.
// The words are files of their own, fetched beside the code; see src/lib/words.ts.
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vite';

// In development the API is asked of a running hub (or a stand-in) at this address.
const hub = process.env['SLOWSTONE_HUB'] ?? 'http://127.0.0.1:8790';

export default defineConfig({
  plugins: [svelte()],
  assetsInclude: ['**/*.ftl'],
  build: {
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
  },
  server: { proxy: { '/api': { target: hub, changeOrigin: true } } },
});
