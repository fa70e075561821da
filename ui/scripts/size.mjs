// Tells what the first screen loads (aim: 110 KB gzip) and what is loaded only when a part
// of the app is opened. Sizes are told, never a reason to stop a build that a person waits for.
// What the page loads: the scripts and styles of index.html and what those import at once.
// `cargo xtask bench ui` asks for the same numbers (tests/bench/ui.mjs).
import { readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';

const KB = 1024;
const dist = fileURLToPath(new URL('../dist', import.meta.url));
const files = new Map();
for (const file of readdirSync(dist, { recursive: true }).map(String)) {
  if (/\.(js|css)$/.test(file)) files.set(basename(file), readFileSync(join(dist, file), 'utf8'));
}
const named = (text, pattern) => [...text.matchAll(pattern)].map((m) => basename(m[1])).filter((f) => files.has(f));

const first = new Set();
const queue = named(readFileSync(join(dist, 'index.html'), 'utf8'), /(?:src|href)="([^"]+\.(?:js|css))"/g);
while (queue.length > 0) {
  const file = queue.pop();
  if (first.has(file)) continue;
  first.add(file);
  // Imports that run at once, not the ones in import(...).
  queue.push(...named(files.get(file), /(?:from|import)\s*["'](\.[^"']+\.js)["']/g));
}

const sized = (file) => [file, gzipSync(files.get(file), { level: 9 }).length];
const part = (name, list, budget) => {
  const each = list.map(sized);
  return { name, each, bytes: each.reduce((sum, [, bytes]) => sum + bytes, 0), budget };
};

/** What is loaded when, in bytes gzip, with its budget. */
export const parts = [
  part('with the first screen', [...first], 110 * KB),
  part(
    'when a part is opened',
    [...files.keys()].filter((f) => !first.has(f)),
    300 * KB,
  ),
];

function tell() {
  if (first.size === 0) {
    console.error('no JS or CSS belongs to ui/dist/index.html: the build made nothing to measure');
    process.exit(1);
  }
  for (const { name, each, bytes, budget } of parts) {
    for (const [file, size] of each) console.log(`${String(size).padStart(7)} B gzip  ${file}`);
    const over = bytes > budget ? ', OVER the aim' : '';
    console.log(`${String(bytes).padStart(7)} B gzip  ${name}, aim ${budget}${over}\n`);
  }
}
if (process.argv[1] === fileURLToPath(import.meta.url)) tell();
