// The same site reckoned by the core in WebAssembly and by the native one, as a ratio.
// Run by `cargo xtask bench`: node tests/bench/wasm.mjs EVENTS.json NATIVE_MS
import { readFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const top = resolve(dirname(fileURLToPath(import.meta.url)), '../..');
const [file, native] = process.argv.slice(2);
const { now_ms, events } = JSON.parse(readFileSync(file, 'utf8'));

// The sites of the bench are in UTC.
const page = { zone_offset_min: () => 0 };
const { instance } = await WebAssembly.instantiate(readFileSync(join(top, 'ui/public/core.wasm')), { page });
const core = instance.exports;

function ask(question) {
  const sent = new TextEncoder().encode(JSON.stringify(question));
  const at = core.core_alloc(sent.length);
  new Uint8Array(core.memory.buffer, at, sent.length).set(sent);
  const where = BigInt.asUintN(64, core.core_call(at, sent.length));
  const [from, length] = [Number(where >> 32n), Number(where & 0xffffffffn)];
  const answer = new TextDecoder().decode(new Uint8Array(core.memory.buffer, from, length));
  core.core_free(from, length);
  return answer;
}

const began = performance.now();
ask({ op: 'add', events });
const view = ask({ op: 'site', site: events[0].site, now_ms });
const took = performance.now() - began;
if (!view.startsWith('{"ok":{')) throw new Error(view.slice(0, 200));
console.log(`browser core ${took.toFixed(0)} ms, native ${Number(native).toFixed(0)} ms: ${(took / Number(native)).toFixed(2)} times as long`);
