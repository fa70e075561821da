// The desktop window, driven as a person would: it opens, shows the demo site, and
// takes a photo through the page's own file input. Starts its own display (Xvfb) and
// WebKitWebDriver and speaks plain W3C WebDriver to it, so it needs no packages.
// Then what a desktop has beside a window: a notification of what is due, a tray with it,
// photos given as files, one program for a log, and a hub that goes on when the window is
// closed. The other side of all that is session.py, on a session bus of the test's own.
// Promise: "`cargo xtask desktop` opens the same in a window of its own"
// Promise: "Its icon in the tray says *what can I do now* and what comes next; a line opens its pour."
// Promise: "Closing the window leaves the hub to the phones (it says so the first time)"
// Promise: "Drop photos, or a folder of them, on the window, or name them: `slowstone-desktop card/*.jpg`."
// Promise: "What is due comes as a notification of the system, by the rules under **Settings, Reminders**."
// Promise: "Each goes to the site that is open, or the only one, under the pour of its time, and a notification says where, or why not."
// Promise: "**Quit** in the tray ends it"
// Promise: "Where the desktop shows no tray, closing the window ends the program. **Start at login** is in the tray; it starts without a window."
// Promise: "A second start hands its photos to the first."
// Run by `cargo xtask test`; alone: SLOWSTONE_DESKTOP=... node tests/e2e/desktop.mjs
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
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

/** A session bus of this test's own, and a desktop on it that keeps what it is told. */
async function bus() {
  const piped = ['ignore', 'ignore', 'ignore', 'pipe'];
  const daemon = start('dbus-daemon', ['--session', '--nofork', '--print-address=3'], {}, piped);
  let said = '';
  daemon.stdio[3].on('data', (bytes) => {
    said += bytes;
  });
  const address = await until('dbus-daemon', () => {
    if (daemon.failure) throw daemon.failure;
    return said.includes('\n') && said.trim();
  });
  const on = { DBUS_SESSION_BUS_ADDRESS: address };
  const ends = ['pipe', 'pipe', 'inherit'];
  const session = start('/usr/bin/python3', [join(here, 'session.py')], on, ends);
  const heard = [];
  createInterface({ input: session.stdout }).on('line', (line) => heard.push(JSON.parse(line)));
  const all = (what) => heard.filter((one) => one.what === what);
  const tell = (line) => session.stdin.write(`${line}\n`);
  await until('the desktop', () => all('ready').length);
  return {
    address,
    tell,
    notes: () => all('note'),
    tray: () => all('tray')[0],
    /** The answer to `line`, of the kind `what`. */
    async ask(line, what) {
      const before = all(what).length;
      const trouble = all('trouble').length;
      tell(line);
      return until(`an answer to "${line}"`, () => {
        if (all('trouble').length > trouble) throw new Error(all('trouble').at(-1).text);
        return all(what)[before];
      });
    },
  };
}

/** Starts the program once more, without a driver, and gives its exit code. */
function again(env, ...args) {
  const child = start(app, args, env);
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
  const desk = await bus();
  const home = join(data, 'home');
  mkdirSync(home);
  const env = {
    DBUS_SESSION_BUS_ADDRESS: desk.address,
    DISPLAY: await display(),
    WAYLAND_DISPLAY: '',
    GDK_BACKEND: 'x11',
    TAURI_WEBVIEW_AUTOMATION: 'true',
    // The usual log, but in a home of this test's own.
    SLOWSTONE_DATA: '',
    HOME: home,
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
    const said = () => window.run('return window.__answer');
    const answer = await until('an answer', async () => (await said()) !== 'waiting' && said());
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

  const menu = async () => (await desk.ask('menu', 'menu')).items;
  const item = (label) =>
    until(`"${label}" in the tray`, async () => (await menu()).find((one) => one.label === label));
  const sees = () => window.run('return document.visibilityState');
  const note = (what, fits) => until(what, () => desk.notes().find(fits));

  await check('what is due is told by a notification', async () => {
    // The demonstration site has something due whenever it is begun; at night, by the clock
    // of the site, it would wait for the morning.
    const status = await window.run(`
      const call = (method, body) => {
        const request = new XMLHttpRequest();
        request.open(method, '/api/settings/reminders', false);
        request.setRequestHeader('content-type', 'application/json');
        request.send(body);
        return request;
      };
      const { settings } = JSON.parse(call('GET').responseText);
      settings.rules.quiet_min = null;
      return call('PUT', JSON.stringify({ settings, renew_webhook_key: false })).status;
    `);
    must(status === 200, `the quiet hours stay: ${status}`);
    const due = await note('a notification', () => true);
    must(due.app === 'Slowstone', `it comes from "${due.app}"`);
    must(/due|reminders/.test(due.summary), `its title is "${due.summary}"`);
    must(due.body.trim() !== '', 'it has no line');
    console.log(`        it says: ${due.summary} | ${due.body.replaceAll('\n', ' | ')}`);
  });

  await check('the tray says what can be done now, and leads there', async () => {
    await until('an icon in the tray', () => desk.tray());
    await item('What can I do now?');
    const items = await menu();
    console.log(`        it says: ${items.map((one) => one.label || '—').join(' | ')}`);
    const first = items[1 + items.findIndex((one) => one.label === 'What can I do now?')];
    must(first.enabled && first.label.includes(': '), `its first line is "${first.label}"`);
    await window.run(`history.pushState(null, '', '/'); dispatchEvent(new PopStateEvent('popstate'))`);
    desk.tell(`press ${first.id}`);
    await until('its pour', async () => /\/site\/[^/]+\/pour\//.test(await window.url()));
    await window.one('photo-input');
  });

  await check('pressing a notification shows its site', async () => {
    desk.tell(`note ${desk.notes()[0].id}`);
    await until('the site', async () => /\/site\/[^/]+$/.test(await window.url()));
  });

  await check('a second start hands its photo to the first and ends well', async () => {
    const paper = join(data, 'list.txt');
    writeFileSync(paper, 'no photo');
    const other = join(top, 'tests/hub/data/exif-corpus/gen_gps_sw.jpg');
    must((await again(env, other, paper)) === 0, 'it ended with a failure');
    const told = await note('an answer', (one) => /photo.* added/.test(one.summary));
    must(told.summary.startsWith('1 photo added to '), `it says "${told.summary}"`);
    const [taken, refused] = told.body.split('\n');
    must(taken.startsWith('gen_gps_sw.jpg: '), `of the photo it says "${taken}"`);
    must(/^list\.txt: .*photo/.test(refused), `of the other file it says "${refused}"`);
    console.log(`        it says: ${told.summary} | ${told.body.replaceAll('\n', ' | ')}`);
    must(await window.handle(), 'the first window is gone');
  });

  await check('start at login can be turned on and off', async () => {
    const entry = join(home, '.config/autostart/Slowstone.desktop');
    const login = await item('Start at login');
    must(!login.on, 'it is on without having been asked');
    desk.tell(`press ${login.id}`);
    await until('its entry', () => existsSync(entry));
    const line = readFileSync(entry, 'utf8')
      .split('\n')
      .find((one) => one.startsWith('Exec='));
    must(line === `Exec=${app} --hidden`, `it starts "${line}"`);
    desk.tell(`press ${login.id}`);
    await until('its end', () => !existsSync(entry));
  });

  await check('closing the window hides it; the hub goes on and says so', async () => {
    must((await sees()) === 'visible', 'it was not to be seen before');
    const { count } = await desk.ask(`close ${env.DISPLAY}`, 'closed');
    must(count === 1, `${count} windows were asked to close`);
    await until('the window to be gone', async () => (await sees()) === 'hidden');
    const answer = await fetch(new URL('/manifest.webmanifest', await window.url()));
    must(answer.ok, `the hub answers ${answer.status}`);
    await note('word of it', (one) => one.summary === 'Slowstone goes on');
  });

  await check('a start at login leaves it hidden, another start brings it back', async () => {
    must((await again(env, '--hidden')) === 0, 'the first ended with a failure');
    must((await sees()) === 'hidden', 'it came back without being asked');
    must((await again(env)) === 0, 'the second ended with a failure');
    await until('the window', async () => (await sees()) === 'visible');
  });

  await check('without a session bus a second window says why it cannot', async () => {
    const second = await open({ ...env, DBUS_SESSION_BUS_ADDRESS: 'unix:path=/nowhere' });
    const said = await second.text(await second.one('start-failure'));
    must(said.length > 20, `it only says "${said}"`);
    console.log(`        it says: ${said}`);
    await second.close();
  });

  const ends = (address) =>
    until('the end', () =>
      fetch(address).then(
        () => false,
        () => true,
      ),
    );

  await check('quitting in the tray ends the program and its hub', async () => {
    const address = await window.url();
    desk.tell(`press ${(await item('Quit')).id}`);
    await ends(address);
  });

  await check('where the desktop shows no tray, closing the window ends the program', async () => {
    const third = await open(env);
    await third.one('site-link');
    const address = await third.url();
    desk.tell('bare');
    await desk.ask(`close ${env.DISPLAY}`, 'closed');
    await ends(address);
  });
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
