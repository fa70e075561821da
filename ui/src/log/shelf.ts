// What this phone keeps: entries and photos that wait to be sent, and the entries of the
// hub, in IndexedDB. Bytes are ArrayBuffers, never Blobs (some browsers lose those). A
// browser that refuses gets a memory that lasts as long as the page, and says so. What is
// kept why: outbox.ts and stream.ts (to send, and own entries that were sent), fetch.ts (from the hub).

/** The stores and the name under which a row is found; `n` counts up by itself. */
const AREAS = { outbox: 'n', sent: 'n', refused: 'id', photos: 'id', bytes: 'id', events: 'id', meta: 'id' } as const;
export type Area = keyof typeof AREAS;

export type Edit = { area: Area; put: object } | { area: Area; drop: string | number } | { area: Area; clear: true };

export interface Shelf {
  /** Whether it outlives the page. */
  readonly lasting: boolean;
  /** All rows, in the order of their names. */
  all<T>(area: Area): Promise<T[]>;
  get<T>(area: Area, key: string): Promise<T | undefined>;
  /** Writes all of it or nothing; it is kept when this resolves. */
  change(edits: Edit[]): Promise<void>;
  /** Reads areas and writes what follows from that in one step: no other page is in between. */
  rework(read: Area[], write: Area[], make: (rows: Rows) => Edit[]): Promise<void>;
}

/** All rows of the areas that were asked for. */
export type Rows = <T>(area: Area) => T[];

/** A shelf in memory, for tests and for browsers that keep nothing. */
export class Memory implements Shelf {
  readonly lasting = false;
  private readonly areas = new Map<Area, Map<string | number, object>>();
  private n = 0;

  private area(area: Area): Map<string | number, object> {
    const there = this.areas.get(area) ?? new Map<string | number, object>();
    this.areas.set(area, there);
    return there;
  }

  private rows = <T>(area: Area): T[] =>
    [...this.area(area)].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, row]) => structuredClone(row) as T);

  all<T>(area: Area): Promise<T[]> {
    return Promise.resolve(this.rows<T>(area));
  }

  rework(_read: Area[], _write: Area[], make: (rows: Rows) => Edit[]): Promise<void> {
    return this.change(make(this.rows));
  }

  get<T>(area: Area, key: string): Promise<T | undefined> {
    return Promise.resolve(structuredClone(this.area(area).get(key)) as T | undefined);
  }

  change(edits: Edit[]): Promise<void> {
    for (const e of edits) {
      const rows = this.area(e.area);
      if ('clear' in e) rows.clear();
      else if ('drop' in e) rows.delete(e.drop);
      else {
        const row = structuredClone(e.put) as Record<string, string | number>;
        const name = AREAS[e.area];
        const key = (row[name] ??= ++this.n);
        rows.set(key, row);
      }
    }
    return Promise.resolve();
  }
}

function answer<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error ?? new Error('IndexedDB'));
  });
}

class Indexed implements Shelf {
  readonly lasting = true;
  constructor(private readonly db: IDBDatabase) {}

  all<T>(area: Area): Promise<T[]> {
    return answer(this.db.transaction(area).objectStore(area).getAll() as IDBRequest<T[]>);
  }

  get<T>(area: Area, key: string): Promise<T | undefined> {
    return answer(this.db.transaction(area).objectStore(area).get(key) as IDBRequest<T | undefined>);
  }

  change(edits: Edit[]): Promise<void> {
    if (edits.length === 0) return Promise.resolve();
    return this.rework([], [...new Set(edits.map((e) => e.area))], () => edits);
  }

  rework(read: Area[], write: Area[], make: (rows: Rows) => Edit[]): Promise<void> {
    return new Promise((done, fail) => {
      // "Saved" is said after this: on the disk, not on its way there.
      const work = this.db.transaction([...read, ...write], 'readwrite', { durability: 'strict' });
      let cause: unknown = null;
      work.oncomplete = () => done();
      work.onabort = () => fail(cause ?? work.error ?? new Error('IndexedDB'));
      const found = new Map<Area, unknown[]>();
      const go = (): void => {
        if (found.size < read.length) return;
        try {
          for (const e of make(<T>(area: Area) => (found.get(area) ?? []) as T[])) {
            const store = work.objectStore(e.area);
            if ('clear' in e) store.clear();
            else if ('drop' in e) store.delete(e.drop);
            else store.put(e.put);
          }
        } catch (e) {
          cause = e;
          work.abort();
        }
      };
      for (const area of read) {
        const all = work.objectStore(area).getAll();
        all.onsuccess = () => {
          found.set(area, all.result);
          go();
        };
      }
      if (read.length === 0) go();
    });
  }
}

function database(): Promise<IDBDatabase> {
  const request = indexedDB.open('slowstone', 2);
  request.onupgradeneeded = () => {
    for (const [area, name] of Object.entries(AREAS)) {
      if (!request.result.objectStoreNames.contains(area))
        request.result.createObjectStore(area, { keyPath: name, autoIncrement: name === 'n' });
    }
  };
  return answer(request);
}

/** The shelf of this browser. */
export async function openShelf(): Promise<Shelf> {
  try {
    const db = await database();
    // A page of another version wants to change the stores: let it, and begin anew.
    db.onversionchange = () => {
      db.close();
      location.reload();
    };
    return new Indexed(db);
  } catch {
    return new Memory();
  }
}
