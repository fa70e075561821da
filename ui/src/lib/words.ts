// The words of the app, from Fluent files: one file a language, loaded once before anything
// is shown. A key that is missing is found by a test, and shows as its own name rather than
// as an empty place.

import { FluentBundle, FluentResource, type FluentVariable } from '@fluent/bundle';
import english from '../words/en.ftl?url';

export type Args = Record<string, FluentVariable>;

/** Language of the words. */
export const language = 'en';

/** Language of dates and numbers: the reader's own kind of it, if it is the same one. */
export const locale: string =
  (typeof navigator === 'undefined' ? [] : navigator.languages).find((l) => l.split('-')[0] === language) ?? language;

/** Reads a file of words. Isolation marks are off: values are numbers and names in running text. */
export function bundleOf(source: string, lang: string): FluentBundle {
  const bundle = new FluentBundle(lang, { useIsolating: false });
  bundle.addResource(new FluentResource(source));
  return bundle;
}

let bundle = bundleOf('', language);

/** Loads the words; without them nothing can be shown. */
export async function loadWords(): Promise<void> {
  const answer = await fetch(english);
  if (!answer.ok) throw new Error(`${english}: ${answer.status}`);
  bundle = bundleOf(await answer.text(), language);
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
