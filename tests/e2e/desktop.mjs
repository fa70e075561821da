// The desktop window, driven as a person would: it opens, shows the demo site, and
// takes a photo through the page's own file input. Starts its own display (Xvfb) and
// WebKitWebDriver and speaks plain W3C WebDriver to it, so it needs no packages.
// Also: a second window on the same log says plainly why it has none.
// Run by `cargo xtask test`; alone: SLOWSTONE_DESKTOP=... node tests/e2e/desktop.mjs
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { createInterface } from 'node:readline';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const top = resolve(here, '../..');
const out = join(here, 'out');
const app = process.env.SLOWSTONE_DESKTOP ?? join(top, 'target/debug/slowstone-desktop');
const photo = join(top, 'tests/hub/data/exif-corpus/gen_gps_ne.jpg');
// The key under which WebDriver hands out elements (W3C WebDriver, section 12).
const ELEMENT = 'element-6066-11e4-a52e-4f735466cecf';

const started = [];
const data = mkdtempSync(join(tmpdir(), 'slowstone-desktop-'));
let passed = 0;
let failed = 0;

async function check(name, body) {
  try {
    await body();
    passed += 1;
    console.log(`ok      ${name}`);
  } catch (error) {
    failed += 1;
    console.log(`FAILED  ${name}\n        ${error.message}`);
  }
}

function must(condition, message) {
  if (!condition) throw new Error(message);
}

const pause = (ms) => new Promise((done) => setTimeout(done, ms));

/** Asks again and again until `ask` gives something, for a minute at most. */
async function until(what, ask) {
  const end = Date.now() + 60_000;
  let last;
  while (Date.now() < end) {
    try {
      const answer = await ask();
      if (answer) return answer;
    } catch (error) {
      last = error;
    }
    await pause(150);
  }
  throw new Error(`waited in vain for ${what}${last ? `; last: ${last.message}` : ''}`);
}

/** Starts a program that is ended with this script. */
function start(program, args, env = {}, stdio = 'ignore') {
  const child = spawn(program, args, { env: { ...process.env, ...env }, stdio });
  child.on('error', (error) => {
    child.failure = error;
  });
  started.push(child);
  return child;
}

/** A display that nobody sees. Xvfb chooses the number and writes it to descriptor 3. */
async function display() {
  const args = ['-displayfd', '3', '-screen', '0', '1280x900x24', '-nolisten', 'tcp'];
  const server = start('Xvfb', args, {}, ['ignore', 'ignore', 'ignore', 'pipe']);
  let said = '';
  server.stdio[3].on('data', (bytes) => {
    said += bytes;
  });
  const number = await until('Xvfb', () => {
    if (server.failure) throw server.failure;
    return said.includes('\n') && said.trim();
  });
  return `:${number}`;
}

/** A session bus of this test's own, and a notification service on it that keeps what it is
 * told (desktop notifications specification, method Notify). */
async function bus() {
  const daemon = start('dbus-daemon', ['--session', '--nofork', '--print-address=3'], {}, [
    'ignore', 'ignore', 'ignore', 'pipe',
  ]);
  let said = '';
  daemon.stdio[3].on('data', (bytes) => {
    said += bytes;
  });
  const address = await until('dbus-daemon', () => {
    if (daemon.failure) throw daemon.failure;
    return said.includes('\n') && said.trim();
  });
  const notes = [];
  const service = start(
    '/usr/bin/python3',
    [join(here, 'notifications.py')],
    { DBUS_SESSION_BUS_ADDRESS: address },
    ['ignore', 'pipe', 'inherit'],
  );
  let ready = false;
  createInterface({ input: service.stdout }).on('line', (line) => {
    if (line === 'ready') ready = true;
    else notes.push(JSON.parse(line));
  });
  await until('the notification service', () => ready);
  return { address, notes };
}

/** Starts the program once more, without a driver, and gives its exit code. */
function again(env) {
  const child = start(app, [], env);
  return new Promise((done, fail) => {
    child.on('error', fail);
    child.on('exit', (code) => done(code));
  });
}

function freePort() {
  return new Promise((done, fail) => {
    const server = createServer();
    server.on('error', fail);
    server.listen(0, '127.0.0.1', () => {
      const { port } = server.address();
      server.close(() => done(port));
    });
  });
}

/** A WebKitWebDriver of its own, whose windows get the environment `env`. */
async function driver(env) {
  const port = await freePort();
  const child = start('WebKitWebDriver', [`--port=${port}`, '--host=127.0.0.1'], env);
  const base = `http://127.0.0.1:${port}`;
  const ask = async (method, path, body) => {
    const response = await fetch(base + path, {
      method,
      body: body === undefined ? undefined : JSON.stringify(body),
      headers: { 'content-type': 'application/json' },
      signal: AbortSignal.timeout(60_000),
    });
    const { value } = await response.json();
    if (!response.ok) throw new Error(`${method} ${path}: ${value.error}: ${value.message}`);
    return value;
  };
  await until('WebKitWebDriver', () => {
    if (child.failure) throw child.failure;
    return ask('GET', '/status').then(() => true);
  });
  return ask;
}

/** Opens the program in a window and gives what one can do with the window. */
async function open(env) {
  const ask = await driver(env);
  const { sessionId } = await ask('POST', '/session', {
    capabilities: {
      alwaysMatch: { 'webkitgtk:browserOptions': { binary: app, args: [] } },
    },
  });
  const at = `/session/${sessionId}`;
  // Elements by their data-testid; `more` narrows it down, as CSS.
  const all = async (id, more = '') => {
    const using = { using: 'css selector', value: `[data-testid="${id}"]${more}` };
    return (await ask('POST', `${at}/elements`, using)).map((element) => element[ELEMENT]);
  };
  return {
    all,
    one: (id, more) => until(`"${id}" on the page`, async () => (await all(id, more))[0]),
    click: (element) => ask('POST', `${at}/element/${element}/click`, {}),
    type: (element, text) => ask('POST', `${at}/element/${element}/value`, { text }),
    text: (element) => ask('GET', `${at}/element/${element}/text`),
    run: (script, ...args) => ask('POST', `${at}/execute/sync`, { script, args }),
    handle: () => ask('GET', `${at}/window`),
    title: () => ask('GET', `${at}/title`),
    url: () => ask('GET', `${at}/url`),
    async picture(name) {
      mkdirSync(out, { recursive: true });
      const png = await ask('GET', `${at}/screenshot`);
      writeFileSync(join(out, `${name}.png`), Buffer.from(png, 'base64'));
    },
    close: () => ask('DELETE', at),
  };
}

/** The parts of the page's address that matter, and whether Tauri answers to it. */
async function asks(window) {
  return window.run(`
    const internals = window.__TAURI_INTERNALS__;
    if (!internals || !internals.invoke) return 'no such door';
    window.__answer = 'waiting';
    internals.invoke('plugin:app|version').then(
      () => { window.__answer = 'let in'; },
      (reason) => { window.__answer = 'refused: ' + reason; },
    );
    return 'asked';
  `);
}

async function main() {
  must(existsSync(app), `${app} is missing: cargo xtask desktop --no-run`);
  must(existsSync(photo), `${photo} is missing`);
  const { address, notes } = await bus();
  const env = {
    DBUS_SESSION_BUS_ADDRESS: address,
    DISPLAY: await display(),
    WAYLAND_DISPLAY: '',
    GDK_BACKEND: 'x11',
    TAURI_WEBVIEW_AUTOMATION: 'true',
    SLOWSTONE_DATA: join(data, 'log'),
    XDG_DATA_HOME: join(data, 'share'),
    XDG_CACHE_HOME: join(data, 'cache'),
    // There is no graphics card. (Switching the web view's compositing off as well
    // would leave screenshots waiting for ever.)
    LIBGL_ALWAYS_SOFTWARE: '1',
    NO_AT_BRIDGE: '1',
  };
  const window = await open(env);

  await check('the window opens on the loopback address', async () => {
    must(await window.handle(), 'there is no window');
    await until('the page', async () => (await window.url()).startsWith('http://127.0.0.1:'));
  });

  await check('the demo site is there, with its steps', async () => {
    // The first page lists the sites; there is one.
    await window.click(await window.one('site-link'));
    await window.one('site-screen');
    await window.one('step-card');
    const cards = await window.all('step-card');
    const said = await window.text(cards[0]);
    must(said.trim() !== '', 'the first step says nothing');
  });

  await check('the page gets no permission from Tauri', async () => {
    if ((await asks(window)) === 'no such door') return;
    const answer = await until('an answer', async () => {
      const said = await window.run('return window.__answer');
      return said !== 'waiting' && said;
    });
    must(answer.startsWith('refused'), `the page was ${answer}`);
  });

  await check('a photo is added through the file input and appears', async () => {
    // A step that was poured: its page has the photos.
    await window.click(await window.one('step-card', ':not([data-phase="unpoured"])'));
    const input = await window.one('photo-input');
    const before = (await window.all('photo-thumb')).length;
    await window.type(input, photo);
    // The first entry asks who is writing.
    await window.type(await window.one('name-input'), 'Marit');
    await window.click(await window.one('name-save'));
    await until('one more photo', async () => (await window.all('photo-thumb')).length > before);
    await until('the pictures to be painted', () =>
      window.run(`
        const pictures = [...document.querySelectorAll('[data-testid="photo-thumb"]')]
          .map((thumb) => thumb.matches('img') ? thumb : thumb.querySelector('img'));
        // Pictures out of sight are not even asked for.
        pictures.find((picture) => picture && !picture.complete)?.scrollIntoView();
        return pictures.every((picture) => picture && picture.complete && picture.naturalWidth > 0);
      `),
    );
  });

  await window.picture('desktop').catch((error) => console.log(`no screenshot: ${error.message}`));

  await check('what is due is told by a notification', async () => {
    // The demonstration site has something due whenever it is begun.
    const note = await until('a notification', async () => notes[0]);
    must(note.app === 'Slowstone', `it comes from "${note.app}"`);
    must(/now|due/.test(note.summary), `its title is "${note.summary}"`);
    must(note.body.trim() !== '', 'it has no line');
    console.log(`        it says: ${note.summary} | ${note.body.replaceAll('\n', ' | ')}`);
  });

  await check('a second start leaves it to the first and ends well', async () => {
    must((await again(env)) === 0, 'it ended with a failure');
    must(await window.handle(), 'the first window is gone');
  });

  await check('without a session bus a second window says why it cannot', async () => {
    const second = await open({ ...env, DBUS_SESSION_BUS_ADDRESS: 'unix:path=/nowhere' });
    const said = await second.text(await second.one('start-failure'));
    must(said.length > 20, `it only says "${said}"`);
    console.log(`        it says: ${said}`);
    await second.close();
  });

  await check('the window closes', () => window.close());
}

process.on('SIGINT', () => process.exit(130));
process.on('SIGTERM', () => process.exit(143));
process.on('exit', () => {
  for (const child of started) child.kill('SIGTERM');
});
try {
  await main();
} catch (error) {
  failed += 1;
  console.log(`FAILED  ${error.message}`);
}
for (const child of started.reverse()) child.kill('SIGTERM');
await pause(500);
rmSync(data, { recursive: true, force: true, maxRetries: 5 });
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
