// What the browser tests stand on: a real hub with data of its own, and Chromium at the
// size of a phone. A check that fails is counted and told, and the next one runs.
// Environment: SLOWSTONE_BIN (the program), SLOWSTONE_BROWSER (Chromium).
import { execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';

const here = dirname(fileURLToPath(import.meta.url));
export const top = resolve(here, '../..');
export const corpus = join(top, 'tests/hub/data/exif-corpus');
export const shots = join(here, 'shots');
export const out = join(here, 'out');
export const program = process.env.SLOWSTONE_BIN ?? join(top, 'target/debug/slowstone');
const browserPath =
  process.env.SLOWSTONE_BROWSER ?? ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find(existsSync);
const flags = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

export const phone = { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, isMobile: true, hasTouch: true };
export const desk = { viewport: { width: 1280, height: 800 } };

const ends = [];
/** Hubs that run: a test that breaks off must not leave one behind. */
const running = new Set();
process.on('exit', () => running.forEach((child) => child.kill('SIGKILL')));
let passed = 0;
let failed = 0;
const pages = [];

/** Runs one check; a failure is told with a picture of the page. */
export async function check(name, body) {
  try {
    await body();
    passed += 1;
    console.log(`ok      ${name}`);
  } catch (error) {
    failed += 1;
    console.log(`FAILED  ${name}\n        ${String(error.message).split('\n').slice(0, 6).join('\n        ')}`);
    const page = pages.findLast((p) => !p.isClosed());
    if (page) {
      mkdirSync(out, { recursive: true });
      await page.screenshot({ path: join(out, `${name.replace(/[^a-z0-9]+/gi, '-')}.png`) }).catch(() => undefined);
    }
  }
}

export function must(condition, message) {
  if (!condition) throw new Error(message);
}

export function same(got, wanted, what) {
  const [a, b] = [JSON.stringify(got), JSON.stringify(wanted)];
  if (a !== b) throw new Error(`${what}: ${a} instead of ${b}`);
}

/** A folder that is gone after the test. */
export function folder() {
  const dir = mkdtempSync(join(tmpdir(), 'slowstone-e2e-'));
  ends.push(() => rmSync(dir, { recursive: true, force: true }));
  return dir;
}

/**
 * Starts a hub and waits until it prints its address. `clock` sets its time, and
 * `data` keeps its folder over a restart, `more` are further arguments.
 */
export async function hub({ clock, data = folder(), empty = true, port = 0, more = [] } = {}) {
  const args = ['hub', '--data', data, '--port', String(port), ...more];
  if (empty) args.push('--empty');
  if (clock) args.push('--clock', clock);
  const child = spawn(program, args, { stdio: ['ignore', 'pipe', 'pipe'] });
  running.add(child);
  child.on('exit', () => running.delete(child));
  let said = '';
  child.stderr.on('data', (bytes) => (said += bytes));
  const url = await new Promise((done, fail) => {
    child.on('error', fail);
    child.on('exit', (code) => fail(new Error(`the hub ended with ${code}: ${said}`)));
    let text = '';
    child.stdout.on('data', (bytes) => {
      text += bytes;
      const found = /http:\/\/\S+/.exec(text);
      if (found) done(found[0]);
    });
  });
  const gone = new Promise((done) => child.on('exit', done));
  const stop = async (signal = 'SIGTERM') => {
    child.kill(signal);
    return gone;
  };
  ends.push(() => stop('SIGKILL'));
  const { origin, searchParams } = new URL(url);
  const token = searchParams.get('t');
  const ask = async (path) => {
    const answer = await fetch(origin + path, { headers: { authorization: `Bearer ${token}` } });
    if (!answer.ok) throw new Error(`${path}: ${answer.status} ${await answer.text()}`);
    return answer.json();
  };
  return { url, origin, data, ask, stop };
}

/** As of somebody who opened every part of the page of a pour before: parts/Fold.svelte. */
function unfold() {
  if (!location.protocol.startsWith('http')) return;
  for (const part of ['line', 'why', 'advice', 'curve', 'readings', 'photos', 'went', 'record'])
    localStorage.setItem(`slowstone.open.${part}`, 'yes');
}
let browser;
/** A page of its own in Chromium; what its console says as an error fails the test. */
export async function open(options = phone, time) {
  if (!browser) {
    must(browserPath, 'no Chromium here: install it or name it in SLOWSTONE_BROWSER');
    browser = await chromium.launch({ executablePath: browserPath, args: flags });
    ends.push(() => browser.close());
  }
  const { unfolded = true, ...size } = options;
  const context = await browser.newContext({ locale: 'en-GB', timezoneId: 'UTC', ...size });
  if (unfolded) await context.addInitScript(unfold);
  const page = await context.newPage();
  pages.push(page);
  page.setDefaultTimeout(20_000);
  if (time) await page.clock.install({ time: new Date(time) });
  page.complaints = [];
  page.on('pageerror', (error) => page.complaints.push(error.message));
  page.on('console', (message) => {
    // Answers of 4xx and a hub that is away are shown to the person, and by Chromium here.
    if (message.type() === 'error' && !message.text().startsWith('Failed to load resource'))
      page.complaints.push(message.text());
  });
  return page;
}

/**
 * A phone of its own: a browser with a profile that trusts the authority in `pem` besides the
 * usual ones, as after installing it (NSS; certutil is of Debian's libnss3-tools).
 */
export async function trusting(pem, options = phone) {
  const home = folder();
  const store = join(home, '.pki/nssdb');
  mkdirSync(store, { recursive: true });
  const certutil = (...args) => execFileSync('certutil', ['-d', `sql:${store}`, ...args]);
  certutil('-N', '--empty-password');
  if (pem) certutil('-A', '-t', 'C,,', '-n', 'hub', '-i', pem);
  const env = { ...process.env, HOME: home };
  const context = await chromium.launchPersistentContext(join(home, 'profile'), {
    executablePath: browserPath,
    args: flags,
    env,
    locale: 'en-GB',
    ...options,
  });
  ends.push(() => context.close());
  const page = context.pages()[0] ?? (await context.newPage());
  pages.push(page);
  page.setDefaultTimeout(20_000);
  return page;
}

/** Waits until something holds on the hub. */
export async function until(what, ask, seconds = 20) {
  const end = Date.now() + seconds * 1000;
  let last;
  while (Date.now() < end) {
    try {
      const answer = await ask();
      if (answer) return answer;
    } catch (error) {
      last = error;
    }
    await new Promise((done) => setTimeout(done, 100));
  }
  throw new Error(`waited in vain for ${what}${last ? `; last: ${last.message}` : ''}`);
}

/**
 * Takes a picture of README.md, when SLOWSTONE_SHOTS is set: after everything has come, the
 * letters too, and without what moves.
 */
export async function shot(page, name) {
  if (!process.env.SLOWSTONE_SHOTS) return;
  await page.waitForLoadState('networkidle').catch(() => undefined);
  await page.evaluate(() => document.fonts.ready.then(() => undefined));
  await page.waitForFunction(() => [...document.images].every((i) => i.complete || i.loading === 'lazy'));
  mkdirSync(shots, { recursive: true });
  await page.screenshot({ path: join(shots, `${name}.png`), animations: 'disabled' });
}

/** Ends everything and sets the exit status. */
export async function finish() {
  for (const end of ends.reverse()) await Promise.resolve(end()).catch(() => undefined);
  console.log(`${passed} passed, ${failed} failed`);
  process.exit(failed === 0 ? 0 : 1);
}
