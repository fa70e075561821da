// Takes the pictures of the README from the demonstration site, at a fixed time.
// Not a test: `node tests/e2e/shots.mjs` after the look has changed, then look at them.
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { desk, finish, hub, open, phone, shots } from './stage.mjs';

// The demonstration site is laid out around the time at which it is made.
const WHEN = '2026-10-14T13:40:00Z';
mkdirSync(shots, { recursive: true });
const h = await hub({ clock: WHEN, empty: false });
const still = async (page, name) => {
  await page.waitForLoadState('networkidle').catch(() => undefined);
  await page.screenshot({ path: join(shots, `${name}.png`) });
  console.log(name);
};

const page = await open({ ...phone, deviceScaleFactor: 1.5 }, WHEN);
await page.goto(h.url);
await page.getByTestId('site-link').first().click();
await page.getByTestId('step-card').first().waitFor();
await page.waitForTimeout(800);
await still(page, 'site-phone');
await page.locator('[data-testid="step-card"][data-step="5"]').click();
await page.getByTestId('pour-screen').waitFor();
await page.waitForTimeout(800);
await still(page, 'pour-phone');
await page.getByTestId('curve').scrollIntoViewIfNeeded();
await page.evaluate(() => document.querySelector('[data-testid="curve"]').scrollIntoView({ block: 'center' }));
await page.waitForTimeout(300);
await still(page, 'curve-phone');

const wide = await open(desk, WHEN);
await wide.goto(h.url);
await wide.getByTestId('site-link').first().click();
await wide.getByTestId('pour-screen').waitFor();
await wide.waitForTimeout(1200);
await still(wide, 'site-desk');

const dark = await open({ ...desk, colorScheme: 'dark' }, WHEN);
await dark.goto(h.url);
await dark.getByTestId('site-link').first().click();
await dark.getByTestId('pour-screen').waitFor();
await dark.waitForTimeout(1200);
await still(dark, 'site-desk-dark');
await finish();
