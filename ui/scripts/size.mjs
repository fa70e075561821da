// Fails the build when what the first screen loads is more than 70 KB gzip, or what is
// loaded only when a part of the app is opened more than 140 KB in all, 40 KB in one piece.
// What the page loads: the scripts and styles of index.html and what those import at once.
import { readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { gzipSync } from 'node:zlib';

const KB = 1024;
const FIRST = 70 * KB;
const LATER = 140 * KB;
const PIECE = 40 * KB;
const dist = new URL('../dist', import.meta.url).pathname;
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

const size = (file) => gzipSync(files.get(file), { level: 9 }).length;
let trouble = '';
function part(name, list, budget, piece) {
  let sum = 0;
  for (const file of list) {
    const bytes = size(file);
    sum += bytes;
    console.log(`${String(bytes).padStart(7)} B gzip  ${file}`);
    if (bytes > piece) trouble ||= `${file} alone is ${bytes - piece} bytes over ${piece}`;
  }
  console.log(`${String(sum).padStart(7)} B gzip  ${name}, of ${budget}\n`);
  if (sum > budget) trouble ||= `${name}: ${sum - budget} bytes over the budget`;
}
part('with the first screen', first, FIRST, FIRST);
part('when a part is opened', [...files.keys()].filter((f) => !first.has(f)), LATER, PIECE);
if (first.size === 0) trouble = 'no JS or CSS belongs to ui/dist/index.html: the build made nothing to measure';
if (trouble) {
  console.error(`${trouble}. Take something out, or load it only where it is used.`);
  process.exit(1);
}
