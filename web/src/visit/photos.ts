// Photos that wait in the browser until the visit is kept as a job. What a picture is, its first bytes say, as in the service.

export const LARGEST_PHOTO = 20_000_000; // bytes; the service takes no more
export type PictureType = "image/jpeg" | "image/png" | "image/webp" | "image/heic";

export interface Waiting {
  readonly id: string;
  readonly type: PictureType;
  readonly content: ArrayBuffer;
}

/** Why a photo cannot be kept; null where it can. */
export type Choice = { readonly photo: Waiting; readonly why: null } | { readonly photo: null; readonly why: string };

const HEIC = new Set(["heic", "heix", "heim", "heis", "hevc", "hevx"]);
const MOST_BRANDS = 128;

/** The kind of a picture by its first bytes; null for what is none that is kept. */
export function pictureType(bytes: Uint8Array): PictureType | null {
  const word = (at: number, end: number): string => String.fromCharCode(...bytes.subarray(at, end));
  if (word(0, 3) === "\xff\xd8\xff") return "image/jpeg";
  if (word(0, 8) === "\x89PNG\r\n\x1a\n") return "image/png";
  if (word(0, 4) === "RIFF" && word(8, 12) === "WEBP") return "image/webp";
  if (word(4, 8) !== "ftyp" || bytes.length < 12) return null;
  const end = Math.min(new DataView(bytes.buffer, bytes.byteOffset).getUint32(0), MOST_BRANDS);
  const brands = [word(8, 12)];
  for (let at = 16; at < end; at += 4) brands.push(word(at, at + 4));
  return brands.some((brand) => HEIC.has(brand)) ? "image/heic" : null;
}

export const megabytes = (size: number): string => `${Math.ceil(size / 100_000) / 10} MB`;

/** A file that was taken or chosen, looked at before it is kept. */
export async function chosen(file: File): Promise<Choice> {
  const name = file.name ? `${file.name.slice(0, 60)}: ` : "";
  if (file.size > LARGEST_PHOTO) {
    return { photo: null, why: `${name}too big, ${megabytes(file.size)}; up to ${megabytes(LARGEST_PHOTO)} are taken. Choose a smaller size in the camera.` };
  }
  const content = await file.arrayBuffer();
  const type = pictureType(new Uint8Array(content));
  if (type === null) return { photo: null, why: `${name}no picture that can be kept; JPEG, PNG, WebP and HEIC can.` };
  return { photo: { id: await digest(content), type, content }, why: null };
}

/** The same picture has the same name; over plain http, where there is no digest to be had, only the very same choice. */
async function digest(content: ArrayBuffer): Promise<string> {
  if (!globalThis.crypto?.subtle) return `${content.byteLength}-${Math.random()}`;
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", content));
  return Array.from(sum, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

const SHELF = "photos";

/** The browser's own store of them. A browser that keeps nothing rejects; then they last as long as the page. */
export class Album {
  #base: Promise<IDBDatabase> | null = null;

  all(): Promise<Waiting[]> {
    return this.#asked("readonly", (shelf) => shelf.getAll() as IDBRequest<Waiting[]>);
  }

  async put(photo: Waiting): Promise<void> {
    await this.#asked("readwrite", (shelf) => shelf.put(photo));
  }

  async remove(id: string): Promise<void> {
    await this.#asked("readwrite", (shelf) => shelf.delete(id));
  }

  async clear(): Promise<void> {
    await this.#asked("readwrite", (shelf) => shelf.clear());
  }

  async #asked<T>(mode: IDBTransactionMode, ask: (shelf: IDBObjectStore) => IDBRequest<T>): Promise<T> {
    this.#base ??= opened();
    const change = (await this.#base).transaction(SHELF, mode);
    const asked = ask(change.objectStore(SHELF));
    return new Promise((resolve, reject) => {
      change.oncomplete = () => resolve(asked.result);
      change.onabort = () => reject(change.error ?? new Error("the browser did not keep it"));
    });
  }
}

function opened(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open("rillwright-visit", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(SHELF, { keyPath: "id" });
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error ?? new Error("the browser has no store"));
  });
}
