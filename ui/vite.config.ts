// Build of the web app: one page, hashed assets, nothing from outside.
// The words are one file a language, fetched beside the code; see src/lib/words.ts.
// The service worker (src/sw.ts) is built beside it and gets the list of all files.
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, sep } from 'node:path';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig, type Plugin } from 'vite';

// In development the API is asked of a running hub (or a stand-in) at this address.
const hub = process.env['SLOWSTONE_HUB'] ?? 'http://127.0.0.1:8790';

/** Writes into the service worker what it keeps: every file of the build with its hash. */
function fileList(): Plugin {
  let out = '';
  return {
    name: 'file-list',
    apply: 'build',
    configResolved: (config) => void (out = config.build.outDir),
    closeBundle() {
      const worker = join(out, 'sw.js');
      const all = readdirSync(out, { recursive: true, withFileTypes: true }).filter((f) => f.isFile());
      const files = all
        .map((f) => join(f.parentPath, f.name))
        .filter((path) => path !== worker)
        .map((path) => [
          path.slice(out.length).split(sep).join('/').replace(/^\/?/, '/'),
          createHash('sha256').update(readFileSync(path)).digest('hex').slice(0, 16),
        ])
        .sort();
      const source = readFileSync(worker, 'utf8');
      if (!source.includes('__FILES__')) throw new Error('dist/sw.js has no place for the list of files');
      writeFileSync(worker, source.replace('__FILES__', JSON.stringify(files)));
    },
  };
}

/**
 * `virtual:words`: the address of each language's words. The files of a language are joined
 * to one, without comments, so that a phone fetches one small file.
 */
function joinedWords(): Plugin {
  const folder = join(import.meta.dirname, 'src/words');
  const languages = (): string[] => readdirSync(folder).sort();
  const text = (lang: string): string =>
    readdirSync(join(folder, lang))
      .filter((f) => f.endsWith('.ftl') && !f.startsWith('hub-'))
      .sort()
      .map((f) => readFileSync(join(folder, lang, f), 'utf8'))
      .join('\n')
      .replace(/^#.*$/gm, '')
      .replace(/\n{3,}/g, '\n\n')
      .trim();
  let building = false;
  return {
    name: 'joined-words',
    configResolved: (config) => void (building = config.command === 'build'),
    resolveId: (id) => (id === 'virtual:words' ? id : undefined),
    load(id) {
      if (id !== 'virtual:words') return undefined;
      const at = languages().map((lang) => {
        const ref = building ? this.emitFile({ type: 'asset', name: `${lang}.ftl`, source: text(lang) }) : '';
        return `${lang}: ${building ? `import.meta.ROLLUP_FILE_URL_${ref}` : JSON.stringify(`/@words/${lang}.ftl`)}`;
      });
      return `export default { ${at.join(', ')} };`;
    },
    configureServer(server) {
      server.watcher.on('change', (path) => path.endsWith('.ftl') && server.ws.send({ type: 'full-reload' }));
      server.middlewares.use((ask, answer, next) => {
        const lang = /^\/@words\/([a-z]+)\.ftl/.exec(ask.url ?? '')?.[1];
        if (lang && languages().includes(lang)) answer.end(text(lang));
        else next();
      });
    },
  };
}

export default defineConfig({
  plugins: [svelte(), joinedWords(), fileList()],
  build: {
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rollupOptions: {
      input: { index: 'index.html', sw: 'src/sw.ts' },
      output: { entryFileNames: (chunk) => (chunk.name === 'sw' ? 'sw.js' : 'assets/[name]-[hash].js') },
    },
    reportCompressedSize: false,
  },
  server: { proxy: { '/api': { target: hub, changeOrigin: true } } },
});
