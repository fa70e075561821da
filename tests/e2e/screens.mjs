// The address of every screen of a site, and when one stands. Nothing is started here.
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { top } from './stage.mjs';

const settings = readdirSync(join(top, 'ui/src/settings')).map((f) => `/settings/${f.replace('.svelte', '')}`);

/** Every screen, with these pours and this step. */
export function screensOf(site, pours, step) {
  const at = `/site/${site}`;
  return [
    '/',
    '/settings',
    ...settings,
    '/lost/for/good',
    '/pair',
    at,
    `${at}/log`,
    `${at}/log?step=${step}`,
    `${at}/setup`,
    `${at}/weather`,
    ...pours.map((pour) => `${at}/pour/${pour}`),
    ...['', '/buy', '/days', '/check'].map((part) => `${at}/plan${part}`),
    ...['', '/measure', '/dose'].map((part) => `${at}/colour${part}`),
    `${at}/handover`,
    `${at}/photos`,
  ];
}

/** Waits until nothing is on its way any more. */
export async function settled(page) {
  await page.locator('main').first().waitFor();
  await page.waitForFunction(() => !document.querySelector('[data-testid="loading"], .loading'), undefined, {
    timeout: 60_000,
  });
  await page.evaluate(() => document.fonts.ready);
  await page.waitForTimeout(150);
}
