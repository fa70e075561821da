// The app in a browser: Lighthouse on the two screens that people look at most, sizes, and
// long tasks while a site of 500 pours is scrolled with the processor at a quarter of its speed.
// Run by `cargo xtask bench ui`: node tests/bench/ui.mjs HUB MANY_POURS, the hub and the
// built example of the logbook. Prints rows of the table of the bench.
import { execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import lighthouse from 'lighthouse';
import { chromium } from 'playwright-core';
import { parts } from '../../ui/scripts/size.mjs';

const [program, many] = process.argv.slice(2);
const SLOWER = 4;
const executablePath = process.env.SLOWSTONE_BROWSER ?? ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find(existsSync);
const ends = [];
const folder = () => {
  const dir = mkdtempSync(join(tmpdir(), 'slowstone-bench-'));
  ends.push(() => rmSync(dir, { recursive: true, force: true }));
  return dir;
};
const row = (what, value, unit, anchor, beside, how) => console.log(`ui: ${what}\t${value}\t${unit}\t${anchor}\t${beside}\t${how}`);
const middle = (list) => list.sort((a, b) => a - b)[Math.floor(list.length / 2)];

/** A hub of its own, as people start it. */
async function start(...words) {
  const child = spawn(program, ['hub', '--data', folder(), '--port', '0', ...words], { stdio: ['ignore', 'pipe', 'ignore'] });
  ends.push(() => child.kill('SIGKILL'));
  const url = await new Promise((done, fail) => {
    let text = '';
    child.on('exit', (code) => fail(new Error(`the hub ended with ${code}`)));
    child.stdout.on('data', (bytes) => {
      text += bytes;
      const found = /http:\/\/\S+/.exec(text);
      if (found) done(found[0]);
    });
  });
  const stop = () =>
    new Promise((done) => {
      child.removeAllListeners('exit');
      child.on('exit', done);
      child.kill('SIGTERM');
    });
  const { origin, searchParams } = new URL(url);
  const headers = { authorization: `Bearer ${searchParams.get('t')}`, 'content-type': 'application/json' };
  const ask = async (path, body) => (await fetch(origin + path, body ? { method: 'POST', headers, body } : { headers })).json();
  return { url, origin, ask, stop };
}

/** The same with a site of so many pours. */
async function startWith(pours) {
  const { events } = JSON.parse(execFileSync(many, ['entries', String(pours)], { encoding: 'utf8', maxBuffer: 1 << 28 }));
  const hub = await start('--empty');
  for (let i = 0; i < events.length; i += 1000) await hub.ask('/api/events', JSON.stringify({ events: events.slice(i, i + 1000) }));
  return { ...hub, site: `${hub.origin}/site/${events[0].site}`, entries: events.length };
}

async function scores(context, port) {
  const RUNS = 3;
  const hub = await start();
  const site = (await hub.ask('/api/sites'))[0].id;
  const pour = (await hub.ask(`/api/sites/${site}`)).steps[3].pour.id;
  await context.pages()[0].goto(hub.url);
  for (const [name, path] of [['site', `/site/${site}`], ['pour', `/site/${site}/pour/${pour}`]]) {
    const runs = [];
    for (let i = 0; i < RUNS; i += 1) {
      const { lhr } = await lighthouse(hub.origin + path, { port, disableStorageReset: true, onlyCategories: ['performance', 'accessibility'], logLevel: 'error' });
      runs.push(lhr);
      for (const a of Object.values(lhr.audits)) {
        if (a.score !== null && a.score < 0.9 && ['binary', 'numeric', 'metricSavings'].includes(a.scoreDisplayMode)) console.error(`${name}: ${a.id}: ${a.displayValue ?? a.title}`);
      }
    }
    const score = (c) => middle(runs.map((lhr) => Math.round(lhr.categories[c].score * 100)));
    const of = (a) => (middle(runs.map((lhr) => lhr.audits[a].numericValue)) / 1000).toFixed(2);
    const how = `phone, demonstration; median of ${RUNS}`;
    row(`Lighthouse performance, ${name}`, score('performance'), '', 'aim', 95, `${how}; largest paint ${of('largest-contentful-paint')} s, blocked ${of('total-blocking-time')} s`);
    row(`Lighthouse accessibility, ${name}`, score('accessibility'), '', 'aim', 100, how);
  }
  await hub.stop();
}

/** Has the page note its long tasks, from the beginning of every document. */
const note = (page) =>
  page.addInitScript(() => {
    window.long = [];
    new PerformanceObserver((list) => window.long.push(...list.getEntries().map((e) => e.duration))).observe({ type: 'longtask', buffered: true });
  });
const longest = async (page) => Math.round(Math.max(0, ...(await page.evaluate(() => window.long))));

async function scroll(context) {
  const POURS = 500;
  const hub = await startWith(POURS);
  const page = await context.newPage();
  await note(page);
  await page.setViewportSize({ width: 390, height: 844 });
  await page.goto(hub.url);
  await page.goto(hub.site);
  await page.getByTestId('site-screen').waitFor({ timeout: 120_000 });
  await page.waitForTimeout(3000);
  const cdp = await context.newCDPSession(page);
  await cdp.send('Emulation.setCPUThrottlingRate', { rate: SLOWER });
  await page.evaluate(() => void (window.long.length = 0));
  const height = await page.evaluate(() => document.documentElement.scrollHeight);
  for (let y = 0; y < height; y += 600) {
    await page.mouse.wheel(0, 600);
    await page.waitForTimeout(16);
  }
  await page.waitForTimeout(500);
  const over = await page.evaluate(() => window.long.length);
  row(`scrolling ${POURS} pours, longest task`, await longest(page), 'ms', 'aim, at most', 50, `${over} tasks over 50 ms (0: none was noted) in ${height} px, processor at 1/${SLOWER}`);
  await page.close();
  await hub.stop();
}

function sizes() {
  const [first, later] = parts;
  row('JS and CSS of the first screen', (first.bytes / 1024).toFixed(2), 'KB', 'aim, at most', first.budget / 1024, 'gzip');
  row('JS and CSS of all other parts', (later.bytes / 1024).toFixed(2), 'KB', 'aim, at most', later.budget / 1024, 'gzip, loaded when opened');
  const bytes = gzipSync(readFileSync(new URL('../../ui/public/core.wasm', import.meta.url)), { level: 9 }).length;
  row('core.wasm', (bytes / 1024).toFixed(2), 'KB', 'aim, at most', 400, 'gzip');
}

try {
  sizes();
  if (!executablePath) {
    for (const what of ['Lighthouse', 'scrolling 500 pours']) row(what, '', '', '', '', 'no browser of the Chromium family here');
    process.exit(0);
  }
  const port = 9333;
  const context = await chromium.launchPersistentContext(folder(), { executablePath, args: ['--headless', '--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking', `--remote-debugging-port=${port}`] });
  ends.push(() => context.close());
  for (const part of [scores, scroll]) {
    // One that fails does not keep the others from being told.
    await part(context, port).catch((e) => row(part.name, '', '', '', '', `failed: ${String(e.message).split('\n')[0]}`));
  }
} finally {
  for (const end of ends.reverse()) await Promise.resolve(end()).catch(() => undefined);
}
process.exit(0);
