// Fails the build when the page's own JS and CSS are more than 70 KB gzip in all.
// Looks at every .js and .css file of dist, whether it is loaded at once or later.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';

const BUDGET = 70 * 1024;
const dist = new URL('../dist', import.meta.url).pathname;
let sum = 0;
for (const file of readdirSync(dist, { recursive: true })) {
  if (!/\.(js|css)$/.test(String(file))) continue;
  const bytes = gzipSync(readFileSync(join(dist, String(file))), { level: 9 }).length;
  sum += bytes;
  console.log(`${String(bytes).padStart(7)} B gzip  ${file}`);
}
console.log(`${String(sum).padStart(7)} B gzip  in all, of ${BUDGET}`);
if (sum === 0) {
  console.error('No JS or CSS in ui/dist: the build made nothing to measure.');
  process.exit(1);
}
if (sum > BUDGET) {
  console.error(`JS and CSS are ${sum - BUDGET} bytes over the budget: take something out, or load it only where it is used.`);
  process.exit(1);
}
