// The app and the start of the hub: Lighthouse on the two screens that people look at most,
// long tasks while a site of many pours is scrolled with the processor slowed down to a
// quarter, and the start of the hub beside that of a bare program.
// Run by `cargo xtask bench`: node tests/bench/ui.mjs HUB BARE EVENTS.json
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import lighthouse from 'lighthouse';
import { chromium } from 'playwright-core';

const [program, bare, file] = process.argv.slice(2);
const executablePath = process.env.SLOWSTONE_BROWSER ?? ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find(existsSync);
const ends = [];
const folder = () => {
  const dir = mkdtempSync(join(tmpdir(), 'slowstone-bench-'));
  ends.push(() => rmSync(dir, { recursive: true, force: true }));
  return dir;
};

/** Starts a program and waits for the address that it prints; how long that took, ms. */
async function start(path, args) {
  const began = performance.now();
  const child = spawn(path, args, { stdio: ['ignore', 'pipe', 'ignore'] });
  ends.push(() => child.kill('SIGKILL'));
  const url = await new Promise((done, fail) => {
    let text = '';
    child.on('exit', (code) => fail(new Error(`${path} ended with ${code}`)));
    child.stdout.on('data', (bytes) => {
      text += bytes;
      const found = /http:\/\/\S+/.exec(text);
      if (found) done(found[0]);
    });
  });
  await fetch(url, { redirect: 'manual' });
  const ms = performance.now() - began;
  const stop = () =>
    new Promise((done) => {
      child.removeAllListeners('exit');
      child.on('exit', done);
      child.kill('SIGTERM');
    });
  const { origin, searchParams } = new URL(url);
  const headers = { authorization: `Bearer ${searchParams.get('t')}`, 'content-type': 'application/json' };
  const ask = async (path, body) => (await fetch(origin + path, body ? { method: 'POST', headers, body } : { headers })).json();
  return { url, origin, ask, ms, stop };
}
const middle = (list) => list.sort((a, b) => a - b)[Math.floor(list.length / 2)];

try {
  const data = folder();
  const hub = await start(program, ['hub', '--data', data, '--port', '0']);
  const site = (await hub.ask('/api/sites'))[0].id;
  const pour = (await hub.ask(`/api/sites/${site}`)).steps[3].pour.id;
  const port = 9333;
  const context = await chromium.launchPersistentContext(folder(), { executablePath, args: ['--headless', '--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking', `--remote-debugging-port=${port}`] });
  ends.push(() => context.close());
  const first = context.pages()[0];
  await first.goto(hub.url);
  for (const [name, path] of [['site', `/site/${site}`], ['pour', `/site/${site}/pour/${pour}`]]) {
    const { lhr } = await lighthouse(hub.origin + path, { port, disableStorageReset: true, onlyCategories: ['performance', 'accessibility'], logLevel: 'error' });
    const score = (c) => Math.round(lhr.categories[c].score * 100);
    const of = (a) => lhr.audits[a].displayValue;
    console.log(`lighthouse ${name}: performance ${score('performance')} (aim 95), accessibility ${score('accessibility')} (aim 100); largest paint ${of('largest-contentful-paint')}, blocked ${of('total-blocking-time')}, shift ${of('cumulative-layout-shift')}`);
    for (const a of Object.values(lhr.audits)) {
      if (a.score !== null && a.score < 0.9 && ['binary', 'numeric', 'metricSavings'].includes(a.scoreDisplayMode)) console.log(`  ${a.id}: ${a.displayValue ?? a.title}`);
    }
  }
  await hub.stop();

  const { events } = JSON.parse(readFileSync(file, 'utf8'));
  const many = await start(program, ['hub', '--data', folder(), '--port', '0', '--empty']);
  for (let i = 0; i < events.length; i += 1000) await many.ask('/api/events', JSON.stringify({ events: events.slice(i, i + 1000) }));
  const page = await context.newPage();
  await page.setViewportSize({ width: 390, height: 844 });
  await page.goto(many.url);
  await page.goto(`${many.origin}/site/${events[0].site}`);
  await page.getByTestId('site-screen').waitFor();
  await page.waitForTimeout(3000);
  const cdp = await context.newCDPSession(page);
  await cdp.send('Emulation.setCPUThrottlingRate', { rate: 4 });
  await page.evaluate(() => {
    window.long = [];
    new PerformanceObserver((list) => window.long.push(...list.getEntries().map((e) => e.duration))).observe({ type: 'longtask' });
  });
  const height = await page.evaluate(() => document.documentElement.scrollHeight);
  for (let y = 0; y < height; y += 600) {
    await page.mouse.wheel(0, 600);
    await page.waitForTimeout(16);
  }
  await page.waitForTimeout(500);
  const long = await page.evaluate(() => window.long);
  console.log(`scrolling ${events.filter((e) => e.kind === 'pour').length} pours (${height} px) at a quarter of the speed: ${long.length} tasks over 50 ms, the longest ${Math.round(Math.max(0, ...long))} ms`);
  await many.stop();

  // The same log for both; the hub has made it before.
  const [ours, least] = [[], []];
  for (let i = 0; i < 7; i += 1) {
    const a = await start(program, ['hub', '--data', data, '--port', '0']);
    ours.push(a.ms);
    await a.stop();
    const b = await start(bare, [join(data, 'log.sqlite')]);
    least.push(b.ms);
    await b.stop();
  }
  console.log(`start of the hub ${middle(ours).toFixed(0)} ms, of a bare program on the same log ${middle(least).toFixed(0)} ms: ${(middle(ours) - middle(least)).toFixed(0)} ms more (aim: under 1000)`);
} finally {
  for (const end of ends.reverse()) await Promise.resolve(end()).catch(() => undefined);
}
process.exit(0);
