// Push messages for this device: whether it takes them, and switching that on and off. The
// service worker shows them (sw.ts). Loaded with the settings of the reminders.

import { ApiError, get, send } from './api';
import { language, t } from './words';

export type PushState = 'on' | 'off' | 'denied' | 'impossible';

const bytes = (text: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(atob(text.replace(/-/g, '+').replace(/_/g, '/')), (c) => c.charCodeAt(0));

async function registration(): Promise<ServiceWorkerRegistration | null> {
  if (!('serviceWorker' in navigator) || !('PushManager' in window) || !('Notification' in window)) return null;
  return (await navigator.serviceWorker.getRegistration()) ?? null;
}

/** Whether this device takes push messages from this hub. */
export async function pushState(): Promise<PushState> {
  const worker = await registration();
  if (!worker) return 'impossible';
  if (Notification.permission === 'denied') return 'denied';
  const mine = await worker.pushManager.getSubscription();
  return mine && (await get('/api/push')).endpoint === mine.endpoint ? 'on' : 'off';
}

/** Asks the browser and tells the hub; `by` answers from notifications. */
export async function switchOn(by: string): Promise<void> {
  const worker = await registration();
  if (!worker || (await Notification.requestPermission()) !== 'granted')
    throw new ApiError(0, 'denied', t('remind-push-denied'));
  const { key } = await get('/api/push');
  // Another key (the hub was restored): what was subscribed with the old one is of no use.
  await (await worker.pushManager.getSubscription())?.unsubscribe();
  let made: PushSubscription;
  try {
    made = await worker.pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: bytes(key) });
  } catch (e) {
    throw new ApiError(0, 'push', t('remind-push-none', { why: e instanceof Error ? e.message : String(e) }));
  }
  const { endpoint, keys } = made.toJSON();
  const { p256dh = '', auth = '' } = keys ?? {};
  await send('POST /api/push', { body: { endpoint: endpoint ?? '', keys: { p256dh, auth }, language, by } });
}

export async function switchOff(): Promise<void> {
  await send('DELETE /api/push');
  await (await (await registration())?.pushManager.getSubscription())?.unsubscribe();
}
