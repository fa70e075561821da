// Addresses of the hub, by the list of routes that the hub itself goes by (routes.gen.ts): what
// stands in an address, what is sent and what is answered, so that a screen writes neither an
// address nor the type of an answer. Pure; who asks: api.ts.

import type { Routes } from './routes.gen';

/** Method and address of a route, with names in braces. */
export type Route = keyof Routes;
/** The address of a route that is only read. */
export type Path = Route extends infer R ? (R extends `GET ${infer P}` ? P : never) : never;
/** What a route answers. */
export type Answer<R extends Route> = Routes[R]['answer'];
/** What a view answers. */
export type View<P extends Path> = Answer<`GET ${P}`>;
/** What stands in the address of a view. */
export type Params<P extends Path> = Routes[`GET ${P}`]['params'];

/** What a route is given: nothing that it does not take, and everything that it needs. */
export type Given<R extends Route> = (Routes[R]['params'] extends Record<string, never>
  ? object
  : { params: Routes[R]['params'] }) &
  (Routes[R]['body'] extends undefined ? object : { body: Routes[R]['body'] });

/** Nothing where nothing is needed. */
export type IfAny<T> = Record<string, never> extends T ? [given?: T] : object extends T ? [given?: T] : [given: T];

/** The address: names in braces are filled in, everything else stands behind the question mark. */
export function address<R extends Route>(route: R, params: Routes[R]['params']): string {
  const rest = new Map(Object.entries(params).filter(([, value]) => value !== undefined && value !== null));
  const path = route.replace(/^[A-Z]+ /, '').replace(/\{(\w+)\}/g, (_, name: string) => {
    const value = String(rest.get(name) ?? '');
    rest.delete(name);
    return encodeURIComponent(value);
  });
  const query = new URLSearchParams([...rest].map(([name, value]) => [name, String(value)])).toString();
  return query === '' ? path : `${path}?${query}`;
}
