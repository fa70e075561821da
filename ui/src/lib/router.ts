// Routes of the app, on the History API so that every screen has an address of its own.
// `parse` is pure (tested); `go` changes the address; the shell listens to `popstate`.

/** Parts of the plan of a site. */
export const PLAN_PARTS = ['flight', 'buy', 'days', 'check'] as const;
export type PlanPart = (typeof PLAN_PARTS)[number];

/** Parts of the colours of a site. */
export const COLOUR_PARTS = ['compare', 'measure', 'dose'] as const;
export type ColourPart = (typeof COLOUR_PARTS)[number];

export type Route =
  | { at: 'sites' }
  | { at: 'settings'; part: string }
  | { at: 'pair' }
  | { at: 'site'; site: string }
  | { at: 'log'; site: string; step: string | null }
  | { at: 'setup' | 'handover' | 'photos'; site: string }
  | { at: 'weather'; site: string }
  | { at: 'plan'; site: string; part: PlanPart }
  | { at: 'colour'; site: string; part: ColourPart; photo: string | null }
  | { at: 'pour'; site: string; pour: string }
  | { at: 'lost'; path: string };

/** Which screen an address means. */
export function parse(path: string, search = ''): Route {
  const parts = path.split('/').filter((p) => p !== '');
  const [head, site, what, id] = parts.map((p) => {
    try {
      return decodeURIComponent(p);
    } catch {
      return p;
    }
  });
  if (parts.length === 0) return { at: 'sites' };
  if (head === 'settings' && parts.length <= 2) return { at: 'settings', part: site ?? '' };
  if (head === 'pair' && parts.length === 1) return { at: 'pair' };
  if (head !== 'site' || site === undefined) return { at: 'lost', path };
  if (parts.length === 2) return { at: 'site', site };
  if (what === 'pour' && id !== undefined && parts.length === 4) return { at: 'pour', site, pour: id };
  if (what === 'plan' && parts.length <= 4) {
    const part = PLAN_PARTS.find((p) => p === (id ?? 'flight'));
    return part ? { at: 'plan', site, part } : { at: 'lost', path };
  }
  if (what === 'colour' && parts.length <= 4) {
    const part = COLOUR_PARTS.find((p) => p === (id ?? 'compare'));
    return part ? { at: 'colour', site, part, photo: new URLSearchParams(search).get('photo') } : { at: 'lost', path };
  }
  if (parts.length !== 3) return { at: 'lost', path };
  if (what === 'setup' || what === 'handover' || what === 'photos') return { at: what, site };
  if (what === 'weather') return { at: 'weather', site };
  if (what === 'log') return { at: 'log', site, step: new URLSearchParams(search).get('step') };
  return { at: 'lost', path };
}

/** The address of a screen. */
export function href(route: Route): string {
  const e = encodeURIComponent;
  switch (route.at) {
    case 'sites':
      return '/';
    case 'pair':
      return '/pair';
    case 'settings':
      return route.part ? `/settings/${e(route.part)}` : '/settings';
    case 'site':
      return `/site/${e(route.site)}`;
    case 'log':
      return `/site/${e(route.site)}/log${route.step ? `?step=${e(route.step)}` : ''}`;
    case 'setup':
    case 'handover':
    case 'photos':
    case 'weather':
      return `/site/${e(route.site)}/${route.at}`;
    case 'plan':
      return `/site/${e(route.site)}/plan${route.part === 'flight' ? '' : `/${route.part}`}`;
    case 'colour':
      return `/site/${e(route.site)}/colour${route.part === 'compare' ? '' : `/${route.part}`}${route.photo ? `?photo=${e(route.photo)}` : ''}`;
    case 'pour':
      return `/site/${e(route.site)}/pour/${e(route.pour)}`;
    case 'lost':
      return route.path;
  }
}

/** Goes to a screen; `replace` leaves no entry to go back to. */
export function go(route: Route, replace = false): void {
  const to = href(route);
  if (replace) history.replaceState(null, '', to);
  else if (to !== location.pathname + location.search) history.pushState(null, '', to);
  dispatchEvent(new PopStateEvent('popstate'));
}

/** Turns a plain click on an inner link into `go`; others are left to the browser. */
export function onLink(event: MouseEvent): void {
  if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey)
    return;
  const a = (event.target as Element | null)?.closest('a');
  if (!a || a.target || a.hasAttribute('download') || a.origin !== location.origin || a.pathname.startsWith('/api/'))
    return;
  if (a.hash && a.pathname === location.pathname) return;
  event.preventDefault();
  go(parse(a.pathname, a.search));
}
