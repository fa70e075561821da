// A view that stays fresh: loaded at once, again after every change of its site,
// when the page comes back to the front, and once a minute because states change with time.

import { ApiError, get, onChange } from './api';
import { address, type Params, type Path, type View } from './routes';

export class Live<P extends Path> {
  data = $state.raw<View<P> | null>(null);
  error = $state<ApiError | null>(null);
  /** Not reactive: `load` reads it in the effect that it is called from. */
  private address = '';
  private turn = 0;

  constructor(
    private readonly path: P,
    private readonly site: () => string,
  ) {}

  async load(params: Params<P>): Promise<void> {
    const at = address(`GET ${this.path}`, params);
    if (at !== this.address) {
      this.address = at;
      this.data = null;
      this.error = null;
    }
    const turn = ++this.turn;
    try {
      const data = await get(this.path, params);
      if (turn !== this.turn) return;
      this.data = data;
      this.error = null;
    } catch (e) {
      if (turn === this.turn) this.error = e instanceof ApiError ? e : new ApiError(-1, 'odd', String(e));
    }
  }

  /** Keeps loading what the address names, until the screen goes. Call inside `$effect`. */
  follow(params: Params<P>): () => void {
    void this.load(params);
    let soon: ReturnType<typeof setTimeout> | undefined;
    const again = (): void => {
      clearTimeout(soon);
      soon = setTimeout(() => void this.load(params), 60);
    };
    const stop = onChange((site) => {
      if (site === '' || site === this.site()) again();
    });
    const every = setInterval(again, 60_000);
    const front = (): void => {
      if (!document.hidden) again();
    };
    document.addEventListener('visibilitychange', front);
    return () => {
      stop();
      clearTimeout(soon);
      clearInterval(every);
      document.removeEventListener('visibilitychange', front);
    };
  }
}
