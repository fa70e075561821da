// The core of the browser for tests: as the page has it, built by `cargo xtask wasm`. Where it was
// not built, tests that need it are skipped; `cargo xtask test` builds it first.
import { existsSync, readFileSync } from 'node:fs';
import { coreOf, type Core } from '../src/lib/core';

const file = new URL('../public/core.wasm', import.meta.url);
export const coreThere = existsSync(file);
let made: Promise<Core> | null = null;

export const core = (): Promise<Core> => (made ??= WebAssembly.compile(readFileSync(file)).then(coreOf));
