// The same site reckoned by the core in WebAssembly and by the native one, in turn.
// Run by `cargo xtask bench browser`: node tests/bench/wasm.mjs MANY_POURS, a built example
// of the logbook. Prints a row of the table of the bench.
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const top = resolve(dirname(fileURLToPath(import.meta.url)), '../..');
const [program] = process.argv.slice(2);
const [POURS, TURNS] = [40, 5];
const native = (what) => execFileSync(program, [what, String(POURS)], { encoding: 'utf8', maxBuffer: 1 << 28 });
const { now_ms, events } = JSON.parse(native('entries'));

// The sites of the bench are in UTC.
const page = { zone_offset_min: () => 0 };
const compiled = await WebAssembly.compile(readFileSync(join(top, 'ui/public/core.wasm')));

/** Milliseconds from the entries to the first screen, by a core that knows nothing yet. */
async function once() {
  const core = (await WebAssembly.instantiate(compiled, { page })).exports;
  const ask = (question) => {
    const sent = new TextEncoder().encode(JSON.stringify(question));
    const at = core.core_alloc(sent.length);
    new Uint8Array(core.memory.buffer, at, sent.length).set(sent);
    const where = BigInt.asUintN(64, core.core_call(at, sent.length));
    const [from, length] = [Number(where >> 32n), Number(where & 0xffffffffn)];
    const answer = new TextDecoder().decode(new Uint8Array(core.memory.buffer, from, length));
    core.core_free(from, length);
    return answer;
  };
  const began = performance.now();
  ask({ op: 'add', events });
  const view = ask({ op: 'site', site: events[0].site, now_ms });
  const took = performance.now() - began;
  if (!view.startsWith('{"ok":{')) throw new Error(view.slice(0, 200));
  return took;
}

const [ours, theirs] = [[], []];
for (let turn = 0; turn < TURNS; turn += 1) {
  ours.push(await once());
  theirs.push(Number(native('scratch')));
}
const middle = (list) => list.sort((a, b) => a - b)[Math.floor(list.length / 2)];
console.log(`browser: site of ${POURS} pours from scratch\t${middle(ours)}\tms\tthe same core, native\t${middle(theirs)}\tWebAssembly in Node, wasm profile (the engine for speed, the rest for size) against release; ${TURNS} turns`);
