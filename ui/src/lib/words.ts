// The words of the app, from Fluent files: one folder a language, one file an area, joined by
// the build (vite.config.ts) and loaded once before anything is shown. Files named hub-… are
// read by the hub alone. A key that is missing is found by a test, and shows as its own name
// rather than as an empty place.

import files from 'virtual:words';
import { directionOf } from './units';
import { FluentBundle, FluentResource, type FluentVariable } from '@fluent/bundle';

export type Args = Record<string, FluentVariable>;

/** Languages there are words for. */
export const LANGUAGES: readonly string[] = Object.keys(files);

/** The first of the wanted languages that there are words for: `de-AT` finds `de`. */
export function choose(wanted: readonly string[], there: readonly string[] = LANGUAGES): string {
  for (const w of wanted) {
    const short = w.toLowerCase().split('-')[0] ?? '';
    if (there.includes(short)) return short;
  }
  return 'en';
}

const wishes: readonly string[] = typeof navigator === 'undefined' ? [] : navigator.languages;
const KEY = 'slowstone.language';

/** The language that was chosen on this device; empty when it follows the device. */
export function chosen(): string {
  try {
    return localStorage.getItem(KEY) ?? '';
  } catch {
    return '';
  }
}

/** Chooses a language for this device (empty: the device's own) and shows the app in it. */
export function setLanguage(lang: string): void {
  try {
    if (lang) localStorage.setItem(KEY, lang);
    else localStorage.removeItem(KEY);
  } catch {
    // Private windows may refuse; the device's language then stays.
  }
  location.reload();
}

/** Language of the words. */
export const language = choose([chosen(), ...wishes]);

/** Language of dates and numbers: the reader's own kind of it, if it is the same one. */
export const locale: string = wishes.find((l) => l.split('-')[0] === language) ?? language;

/** Which way its lines run. */
export const dir = directionOf(language);

/** Reads files of words. Values are isolated only where lines run the other way than they do. */
export function bundleOf(source: string, lang: string): FluentBundle {
  const bundle = new FluentBundle(lang, { useIsolating: directionOf(lang) === 'rtl' });
  bundle.addResource(new FluentResource(source));
  return bundle;
}

let bundle = bundleOf('', language);

/** Loads the words; without them nothing can be shown. */
export async function loadWords(): Promise<void> {
  const answer = await fetch(files[language] ?? '');
  if (!answer.ok) throw new Error(`${language}: ${answer.status}`);
  bundle = bundleOf(await answer.text(), locale);
}

/** A message (`key`) or one of its attributes (`key.attribute`). Null when there is none. */
export function find(key: string, args?: Args): string | null {
  const dot = key.indexOf('.');
  const message = bundle.getMessage(dot < 0 ? key : key.slice(0, dot));
  const pattern = dot < 0 ? message?.value : message?.attributes[key.slice(dot + 1)];
  return pattern ? bundle.formatPattern(pattern, args ?? null, []) : null;
}

/** The words for a key; the key itself when they are missing. */
export function t(key: string, args?: Args): string {
  return find(key, args) ?? key;
}
