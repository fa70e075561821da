// What the whole app knows: the person, the look, whether the hub is reached, what waits
// to be sent, short messages. No site data (see live.svelte.ts) and no sending (api.ts).

import type { Observed, Reminder } from './types.gen';
import type { Me } from './routes.gen';
import type { Held, LocalPhoto, Refused } from '../log/outbox';
import { parse, type Route } from './router';

export type Theme = 'auto' | 'light' | 'dark';
export interface Toast {
  id: number;
  text: string;
  bad: boolean;
  /** Takes back what the message tells of. */
  undo: (() => void) | null;
  /** One tap to something else: what it is called, and what it does. */
  more: { text: string; act: () => void } | null;
}
export type DueNote = Reminder & { site: string };

export function kept(key: string): string {
  try {
    return localStorage.getItem(`slowstone.${key}`) ?? '';
  } catch {
    return '';
  }
}

/** Keeps a small setting on this device; a browser that refuses just forgets it. */
export function keep(key: string, value: string): void {
  try {
    localStorage.setItem(`slowstone.${key}`, value);
  } catch {
    // Private windows may refuse; the setting then lasts as long as the page.
  }
}

class App {
  person = $state(kept('person'));
  theme = $state<Theme>((kept('theme') as Theme) || 'auto');
  route = $state<Route>(parse(location.pathname, location.search));
  /** The hub answered last time. */
  reached = $state(true);
  /** The hub asked for its token. */
  locked = $state(false);
  /** Who this browser was for the hub last time; null before it was let in. */
  me = $state.raw<Me | null>(JSON.parse(kept('me') || 'null') as Me | null);
  /** It is known which hub answers. */
  met = false;
  /** What is only on this phone. */
  held = $state<Held>({ entries: 0, photos: 0, oldest: 0, elsewhere: 0 });
  /** Ids of the entries that are not sent yet, and of their sites. */
  unsent = $state.raw<Set<string>>(new Set());
  refused = $state.raw<Refused[]>([]);
  /** Photos that are not sent yet, and the one that is on its way. */
  photos = $state.raw<LocalPhoto[]>([]);
  going = $state<{ id: string; share: number } | null>(null);
  /** What the hub said about photos that were sent from this page. */
  arrived = $state.raw<{ id: string; site: string; pour: string | null; name: string; said: string }[]>([]);
  /** What is kept here outlives the page; the browser has promised not to throw it away. */
  lasting = $state(true);
  safe = $state(false);
  /** What the browser threw away before it was sent. */
  lost = $state<Held | null>(null);
  /** Goes over to a new version of the app, when there is one. */
  renew = $state.raw<(() => void) | null>(null);
  toasts = $state<Toast[]>([]);
  /** Somebody says what happened to the pour that is shown: nothing marked yet, or this. */
  happening = $state.raw<{ mark: Observed | null } | null>(null);
  /** When something was logged here last, by the hub's clock; 0 for not since the page came. */
  logged = $state(0);
  /** Photos that somebody wants to file elsewhere. */
  placing = $state.raw<{ site: string; photos: string[] } | null>(null);
  due = $state<DueNote[]>([]);
  /** Somebody waits for the person's name. */
  asking = $state<((name: string | null) => void) | null>(null);
  /**
   * Hub time minus this device's time, when they differ by more than 20 s, as of the last
   * time that they met: without the hub, times still go by its clock.
   */
  skew = $state(Number(kept('skew')) || 0);
  /** The instant to show "now" and "in 3 h" by; ticks. */
  now = $state(Date.now() + this.skew);
  wide = $state(false);

  /** Now, by the hub's clock as far as it is known. */
  clock(): number {
    return Date.now() + this.skew;
  }

  tick(): void {
    this.now = this.clock();
  }

  /** Learns the hub's clock from an answer that carried it. */
  heard(nowMs: number): void {
    const off = nowMs - Date.now();
    const before = this.skew;
    this.skew = Math.abs(off) > 20_000 ? off : 0;
    if (Math.abs(before - this.skew) > 10_000) keep('skew', String(this.skew));
    this.tick();
  }

  say(text: string, bad = false, undo: (() => void) | null = null, more: Toast['more'] = null): void {
    const id = Math.random();
    this.toasts = [...this.toasts.filter((x) => x.bad || (x.undo && !undo)).slice(-1), { id, text, bad, undo, more }];
    setTimeout(() => this.hush(id), bad || undo || more ? 12_000 : 4_000);
  }

  hush(id: number): void {
    this.toasts = this.toasts.filter((x) => x.id !== id);
  }

  setTheme(theme: Theme): void {
    this.theme = theme;
    keep('theme', theme);
    this.dress();
  }

  dress(): void {
    if (this.theme === 'auto') delete document.documentElement.dataset['theme'];
    else document.documentElement.dataset['theme'] = this.theme;
  }

  setPerson(name: string): void {
    this.person = name.trim();
    keep('person', this.person);
  }

  /** The person's name, asked for when it is not known; null when they turn away. */
  async whoIs(): Promise<string | null> {
    if (this.person) return this.person;
    return new Promise((done) => {
      this.asking = (name) => {
        this.asking = null;
        if (name) this.setPerson(name);
        done(name);
      };
    });
  }
}

export const app = new App();
