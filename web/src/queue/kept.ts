// What was fetched for a day without signal, as the kit: the last one by its name, as JSON has it.

export interface Kept {
  get(name: string): Promise<unknown>; // undefined where nothing is kept
  put(name: string, value: unknown): Promise<void>;
}

const SHELF = "kept";

export async function indexedDbKept(base: string, factory: IDBFactory = indexedDB): Promise<Kept> {
  const open = await new Promise<IDBDatabase>((resolve, reject) => {
    const asked = factory.open(base, 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(SHELF);
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error ?? new Error("the phone has no store"));
  });
  return {
    get: (name) =>
      new Promise((resolve, reject) => {
        const asked = open.transaction(SHELF, "readonly").objectStore(SHELF).get(name);
        asked.onsuccess = () => resolve(asked.result);
        asked.onerror = () => reject(asked.error ?? new Error("the phone did not read it"));
      }),
    put: (name, value) =>
      new Promise((resolve, reject) => {
        const change = open.transaction(SHELF, "readwrite");
        change.objectStore(SHELF).put(value, name);
        change.oncomplete = () => resolve();
        change.onabort = () => reject(change.error ?? new Error("the phone did not keep it"));
      }),
  };
}
