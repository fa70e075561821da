// No two files of the web app need each other, however far around: what is below can be read
// without what is above. Types count as well.
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { expect, it } from 'vitest';

const files = readdirSync('src', { recursive: true, encoding: 'utf8' })
  .map((name) => join('src', name))
  .filter((name) => /\.(ts|svelte)$/.test(name));

/** The files that a file names in its imports, also those that are loaded later. */
function needed(file: string): string[] {
  const text = readFileSync(file, 'utf8');
  const named = [...text.matchAll(/(?:from|import)\s*\(?\s*'(\.[^']*)'/g)].map((m) => join(dirname(file), m[1] ?? ''));
  return named.flatMap((path) =>
    [path, `${path}.ts`, `${path}.svelte`].filter((p) => /\.\w+$/.test(p) && existsSync(p)),
  );
}

it('has no circles', () => {
  const needs = new Map(files.map((file) => [file, needed(file)]));
  expect([...needs.values()].flat().length).toBeGreaterThan(300);
  const circles: string[] = [];
  const done = new Set<string>();
  const walk = (file: string, way: string[]): void => {
    const at = way.indexOf(file);
    if (at >= 0) circles.push([...way.slice(at), file].join(' -> '));
    if (at >= 0 || done.has(file)) return;
    for (const next of needs.get(file) ?? []) walk(next, [...way, file]);
    done.add(file);
  };
  for (const file of files) walk(file, []);
  expect(circles).toEqual([]);
});
