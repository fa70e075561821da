// Who is told that something happened: screens, that a site changed; the thread to the hub
// (link.ts), that something waits to be sent. Holds no state but who listens.

type Heard = (site: string) => void;
const listeners = new Set<Heard>();

/** Calls back when something of a site changed ('' for any); returns how to stop. */
export function onChange(heard: Heard): () => void {
  listeners.add(heard);
  return () => listeners.delete(heard);
}

/** Tells the screens that something of a site changed. */
export function changed(site: string): void {
  for (const l of listeners) l(site);
}

let later: () => void = () => undefined;
let soon: () => void = () => undefined;

/** Says who sends what waits: after a while, and at once. */
export function onWaiting(afterAWhile: () => void, atOnce: () => void): void {
  [later, soon] = [afterAWhile, atOnce];
}

/** Something could not be sent: it is tried again after a while. */
export const sendLater = (): void => later();

/** Something waits that may be sent at once. */
export const sendSoon = (): void => soon();
