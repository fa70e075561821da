// A bank that nothing was built on yet, for the tests of the plan, on a phone whose owner is
// known. Importing this starts a hub, begins the site "Reed bank" and opens the phone.
import { hub, must, open, phone, same } from './stage.mjs';

export const MORNING = '2026-05-04T06:00:00Z';
export const id = 'site-plan-0001';
export const h = await hub({ clock: MORNING });
export const page = await open(phone, MORNING);
export const at = (testid) => page.getByTestId(testid);
export const plan = (what = '') => h.ask(`/api/sites/${id}/plan${what}`);
/** Opens a part of the plan: flight, buy, days or check. */
export const screen = async (part) => {
  await page.goto(`${h.origin}/site/${id}/plan${part === 'flight' ? '' : `/${part}`}`);
  await at(`plan-${part}`).waitFor();
};
export const sheetGone = (kind) => at(`sheet-${kind}`).waitFor({ state: 'detached' });

const event = (kind, body, name = id) => ({ id: name, site: id, by: 'Ada', at_ms: Date.parse(MORNING), kind, body });
const token = new URL(h.url).searchParams.get('t');
/** Logs entries for Ada. */
export async function log(...events) {
  const body = JSON.stringify({ events: events.map(([kind, what, name]) => event(kind, what, name)) });
  const answer = await fetch(`${h.origin}/api/events`, {
    method: 'POST',
    headers: { authorization: `Bearer ${token}`, 'content-type': 'application/json' },
    body,
  });
  must(answer.ok, `${answer.status} ${await answer.text()}`);
}
await log(['site', { name: 'Reed bank', tz: 'Europe/Oslo' }]);
await page.context().addInitScript(() => localStorage.setItem('slowstone.person', 'Ada'));
await page.goto(h.url);

/** A bank of 1.575 m as nine steps of 175 mm, as the screen lays it out (plan-a-flight.spec.mjs). */
export async function nineSteps() {
  await screen('flight');
  await at('lay-out').click();
  await at('in-bank_rise_m').fill('1.575 m');
  await at('in-bank_run_m').fill('2520');
  await at('lay-propose').click();
  await at('choose-9').click();
  await at('drawing').waitFor();
}
/** Nothing sticks out at 390 px, targets are 48 px, and the console is silent. */
export async function fits(part) {
  await screen(part);
  await page.locator('[data-testid="plan-page"] section h2').first().waitFor();
  await page.waitForFunction(() => !document.querySelector('[data-testid="loading"], .loading'));
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  must(wide <= 390, `${part} is ${wide} px wide`);
  const small = await page.evaluate(() =>
    [...document.querySelectorAll('[data-testid="plan-page"] :is(a.btn, button, select, label.check)')]
      .filter((e) => e.getClientRects().length > 0 && e.getBoundingClientRect().height < 47.5)
      .map((e) => e.textContent.trim().slice(0, 30)),
  );
  same(small, [], `${part}: small targets`);
  same(page.complaints, [], 'complaints');
}
