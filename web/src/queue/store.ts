// Where readings and ticks lie in the phone until the service has them, and for a while after.
import type { Problem, Shot } from "../api.ts";

export type ItemState = "waiting" | "sent" | "refused";

/** What is sent: known by its uuid. */
export interface Row {
  readonly uuid: string;
}

export interface Item<R extends Row = Shot> {
  readonly uuid: string;
  readonly order: number; // in which they were taken: the clock may jump, this does not
  readonly job: string;
  readonly row: R;
  readonly state: ItemState;
  readonly problems: readonly Problem[]; // why it was refused
}

/** Resolves once it is kept for good; rejects if it is not. */
export interface Store<R extends Row = Shot> {
  all(): Promise<Item<R>[]>;
  add(item: Item<R>): Promise<void>; // rejects where there is one of that uuid
  put(items: readonly Item<R>[]): Promise<void>; // all or none
  remove(uuids: readonly string[]): Promise<void>;
}

const SHELF = "readings";

/** The phone's own store. Asks that what is written is on the disk before it says so. */
export async function indexedDbStore<R extends Row = Shot>(name: string, factory: IDBFactory = indexedDB): Promise<Store<R>> {
  const base = await opened(name, factory);
  const write = (work: (shelf: IDBObjectStore) => void): Promise<void> =>
    new Promise((resolve, reject) => {
      const change = base.transaction(SHELF, "readwrite", { durability: "strict" });
      change.oncomplete = () => resolve();
      change.onabort = () => reject(change.error ?? new Error("the phone did not keep it"));
      try {
        work(change.objectStore(SHELF));
      } catch (error) {
        change.abort();
        reject(error instanceof Error ? error : new Error(String(error)));
      }
    });
  return {
    all: () =>
      new Promise((resolve, reject) => {
        const asked = base.transaction(SHELF, "readonly").objectStore(SHELF).getAll() as IDBRequest<Item<R>[]>;
        asked.onsuccess = () => resolve(asked.result);
        asked.onerror = () => reject(asked.error ?? new Error("the phone did not read it"));
      }),
    add: (item) => write((shelf) => shelf.add(item)),
    put: (items) => write((shelf) => items.forEach((item) => shelf.put(item))),
    remove: (uuids) => write((shelf) => uuids.forEach((uuid) => shelf.delete(uuid))),
  };
}

function opened(name: string, factory: IDBFactory): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const asked = factory.open(name, 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(SHELF, { keyPath: "uuid" });
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error ?? new Error("the phone has no store"));
    asked.onblocked = () => reject(new Error("another tab holds an older store open"));
  });
}
